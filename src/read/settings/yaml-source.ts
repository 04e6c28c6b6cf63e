/** YAML from untrusted text to plain values, each with its place. Aliases, tags and everything that can grow or loop are refused. */
import { LineCounter, isAlias, isMap, isNode, isScalar, isSeq, parseDocument } from 'yaml';
import type { ErrorCode, Pair, ParsedNode } from 'yaml';
import type { Problem } from '../../problems/problem.ts';
import { cleanText, quoted } from '../clean-text.ts';

/** Deeper nesting has no use here and would only exhaust the stack of the parser. */
const DEEPEST = 20;
const MOST_BYTES = 256_000;
const MOST_PROBLEMS = 20;

export interface Position {
  readonly line: number;
  readonly column: number;
}

export interface YamlSource {
  /** The root map; undefined where it could not be read (then `problems` says why), empty where nothing is written. */
  readonly root: Readonly<Record<string, unknown>> | undefined;
  /** Place of each key and list item, by JSON.stringify of its path. */
  readonly keys: Readonly<Record<string, Position>>;
  /** Place of what stands under each key. */
  readonly values: ReadonlyMap<string, Position>;
  readonly problems: readonly Problem[];
}

export type Path = readonly (string | number)[];

export function pathKey(path: Path): string {
  return JSON.stringify(path);
}

/** What the parser's error codes mean, in our words; what is not listed is said in general. */
const ERRORS: Partial<Record<ErrorCode, string>> = {
  TAB_AS_INDENT: 'A tab stands where only spaces may: indent with spaces.',
  DUPLICATE_KEY: 'This key stands here twice: keep one of them.',
  BAD_INDENT: 'This line is not indented like its neighbours: line it up with the lines that belong with it.',
  MISSING_CHAR: 'A quotation mark, bracket or comma is missing here: close what was opened.',
  MULTIPLE_DOCS: 'A second document begins here (a line of three hyphens): keep one.',
  BLOCK_AS_IMPLICIT_KEY: 'There are two colons where one key was expected: put the text in quotation marks.',
  MULTILINE_IMPLICIT_KEY:
    'A colon is missing after this key, or its text runs over several lines: write `key: value` on one line.',
  BAD_SCALAR_START: 'Text cannot begin with this character: put it in quotation marks.',
  BAD_DQ_ESCAPE: 'A backslash in double quotation marks begins an unknown character: use single quotation marks.',
  UNEXPECTED_TOKEN: 'This does not belong here: check the line for brackets, colons and quotation marks.',
};

interface Builder {
  readonly file: string;
  readonly problems: Problem[];
  readonly keys: Record<string, Position>;
  readonly values: Map<string, Position>;
  readonly at: (offset: number) => Position;
  readonly isTextAt: (path: Path) => boolean;
}

function problemAt(builder: Builder, code: string, offset: number, message: string): void {
  const position = builder.at(offset);
  // One fault often upsets the parser several times on its line; one kind is said once for aliases, which come in heaps.
  const isSaid = builder.problems.some(
    (problem) => problem.line === position.line || (code === 'alias' && problem.code === code),
  );
  if (isSaid || builder.problems.length >= MOST_PROBLEMS) return;
  builder.problems.push({ kind: 'settings', code, file: builder.file, ...position, message });
}

/** Whether brackets, or list and key signs on one line, nest deeper than any settings do. */
function isTooDeep(text: string): boolean {
  let depth = 0;
  for (const character of text) {
    if (character === '[' || character === '{') depth++;
    else if ((character === ']' || character === '}') && depth > 0) depth--;
    if (depth > DEEPEST) return true;
  }
  return /^[ \t]*(?:[-?:][ \t]+){21}/m.test(text) || /^ {400}/m.test(text);
}

function keyText(pair: Pair<ParsedNode, ParsedNode | null>, builder: Builder): string | undefined {
  const { key } = pair;
  if (!isScalar(key) || key.value === null) {
    problemAt(builder, 'bad-key', key.range[0], 'A key must be plain text.');
    return undefined;
  }
  const name = cleanText(typeof key.value === 'string' ? key.value : key.source);
  if (name === '__proto__') {
    problemAt(builder, 'bad-key', key.range[0], `${quoted(name)} cannot be used as a name: rename it.`);
    return undefined;
  }
  return name;
}

function plainOf(node: ParsedNode | null, path: Path, builder: Builder): unknown {
  if (node === null) return null;
  builder.values.set(pathKey(path), builder.at(node.range[0]));
  if (isAlias(node)) {
    problemAt(
      builder,
      'alias',
      node.range[0],
      `Aliases are not used here (${quoted(`*${node.source}`)}): write the text out.`,
    );
    return null;
  }
  if (node.tag !== undefined && !node.tag.startsWith('tag:yaml.org,2002:')) {
    problemAt(builder, 'tag', node.range[0], `Tags are not used here (${quoted(node.tag)}): write the plain text.`);
    return null;
  }
  if (isScalar(node)) {
    const { source } = node;
    const plain: unknown = node.value;
    const isWrittenPlainly = typeof plain === 'number' || typeof plain === 'boolean';
    if (isWrittenPlainly && builder.isTextAt(path)) return source;
    if (plain === null || isWrittenPlainly || typeof plain === 'string') return plain;
    problemAt(builder, 'tag', node.range[0], 'Only text, numbers, true and false are used here: write the plain text.');
    return null;
  }
  if (path.length > DEEPEST) {
    problemAt(builder, 'too-deep', node.range[0], 'The text is nested too deeply: write it flatter.');
    return null;
  }
  if (isSeq(node)) {
    return node.items.map((item, index) => {
      const itemPath = [...path, index];
      builder.keys[pathKey(itemPath)] = builder.at(item.range[0]);
      return plainOf(item, itemPath, builder);
    });
  }
  const plain: Record<string, unknown> = {};
  for (const pair of node.items) {
    const name = keyText(pair, builder);
    if (name === undefined) continue;
    const keyPath = [...path, name];
    builder.keys[pathKey(keyPath)] = builder.at(pair.key.range[0]);
    const inner = plainOf(pair.value, keyPath, builder);
    // A key without a value is one that was not filled in.
    if (inner !== null) plain[name] = inner;
  }
  return plain;
}

/**
 * Reads YAML whose root is a map. `isTextAt` tells where numbers are to be left as they are written; `linesBefore` counts
 * the lines of the file before this text. Never throws.
 */
export function parseYaml(text: string, file: string, isTextAt: (path: Path) => boolean, linesBefore = 0): YamlSource {
  const lines = new LineCounter();
  const problems: Problem[] = [];
  const at = (offset: number): Position => {
    const { line, col } = lines.linePos(offset);
    return { line: Math.max(1, line) + linesBefore, column: Math.max(1, col) };
  };
  const builder: Builder = { file, problems, keys: {}, values: new Map(), at, isTextAt };
  const nothing = (): YamlSource => ({ root: undefined, keys: {}, values: new Map(), problems });
  const refuse = (code: string, message: string): YamlSource => {
    problems.push({ kind: 'settings', code, file, line: 1 + linesBefore, column: 1, message });
    return nothing();
  };
  if (text.length > MOST_BYTES)
    return refuse(
      'too-large',
      `The text is ${text.length} characters long and at most ${MOST_BYTES} are read: shorten it.`,
    );
  if (isTooDeep(text)) return refuse('too-deep', 'The text is nested too deeply: write it flatter.');
  let document;
  try {
    document = parseDocument(text, {
      lineCounter: lines,
      prettyErrors: false,
      strict: true,
      uniqueKeys: true,
      logLevel: 'error',
    });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return refuse('too-deep', 'The text is nested too deeply: write it flatter.');
  }
  for (const { code, pos } of document.errors) {
    problemAt(
      builder,
      'yaml',
      pos[0],
      ERRORS[code] ?? 'This is not valid YAML: check the line for brackets, colons and quotation marks.',
    );
  }
  for (const { pos } of document.warnings) {
    problemAt(builder, 'tag', pos[0], 'Tags and directives are not used here: write the plain text.');
  }
  if (problems.length > 0) return nothing();
  const { contents } = document;
  if (contents === null || (isScalar(contents) && contents.value === null))
    return { root: {}, keys: {}, values: new Map(), problems };
  if (!isNode(contents) || !isMap(contents)) {
    problemAt(
      builder,
      'not-a-map',
      contents.range[0],
      'A list of `key: value` lines was expected, and this is something else: see the README for the keys.',
    );
    return nothing();
  }
  const root = plainOf(contents, [], builder) as Record<string, unknown>;
  return { root: problems.length > 0 ? undefined : root, keys: builder.keys, values: builder.values, problems };
}

/** UTF-8 text of a file, or undefined where the bytes are no UTF-8. A byte order mark is dropped. */
export function utf8Text(bytes: Uint8Array): string | undefined {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return undefined;
  }
}
