/**
 * Notes of the musician: one memo for each heading that begins with bars, reaching to the next heading of the same or a
 * higher level; what stands outside such headings is one memo of the whole.
 */
import MarkdownIt from 'markdown-it';
import type { Problem } from '../../problems/problem.ts';
import { parseBarHeading } from '../settings/bar-span.ts';
import type { BarHeading } from '../settings/bar-span.ts';
import { cleanText, decodeText, quoted, withoutDirectionMarks } from '../clean-text.ts';
import { readFrontMatter } from './front-matter.ts';
import type { FrontMatterReading } from './front-matter.ts';
import type { InnerHeading, RawMemo } from '../raw.ts';
import { isAnswerFile, readAnswers } from './read-answers.ts';

/** Blocks only, and only those that decide what is a heading: a `#` inside code or a quotation is none. */
const blocks = new MarkdownIt('zero').enable(['heading', 'lheading', 'fence', 'code', 'blockquote', 'list', 'hr']);
// What stands inside a block is not looked at here.
blocks.core.ruler.disable('inline');

const MOST_MEMOS = 1000;
const MOST_PROBLEMS = 20;

interface Heading {
  readonly level: number;
  readonly text: string;
  /** Zero-based lines: where it begins, and the first line after it. */
  readonly line: number;
  readonly next: number;
  readonly bars: BarHeading | undefined;
}

function headingsOf(markdown: string): readonly Heading[] {
  const tokens = blocks.parse(markdown, {});
  return tokens.flatMap((token, index): Heading[] => {
    if (token.type !== 'heading_open' || token.level !== 0 || token.map === null) return [];
    const text = cleanText(tokens[index + 1]?.content ?? '');
    const [line, next] = token.map;
    return [{ level: Number(token.tag.slice(1)), text, line, next, bars: parseBarHeading(text) }];
  });
}

interface MemoContext {
  readonly file: string;
  readonly lines: readonly string[];
  readonly front: FrontMatterReading;
  readonly stageFolder: string | undefined;
}

function common({ file, front, stageFolder }: MemoContext): Pick<RawMemo, 'file' | 'kind' | 'date' | 'stage'> {
  const stage = front.stage ?? (stageFolder === undefined ? undefined : { content: stageFolder, line: 1, column: 1 });
  return {
    file,
    kind: front.kind,
    ...(front.date === undefined ? {} : { date: front.date }),
    ...(stage === undefined ? {} : { stage }),
  };
}

/** For each line the index of the heading with bars that it belongs to, the innermost one; -1 where there is none. */
function ownersOf(headings: readonly Heading[], lineCount: number): Int32Array {
  const owners = new Int32Array(lineCount).fill(-1);
  headings.forEach(({ bars, level, line }, index) => {
    if (bars === undefined) return;
    let next = index + 1;
    while ((headings[next]?.level ?? 0) > level) next++;
    owners.fill(index, line, headings[next]?.line ?? lineCount);
  });
  return owners;
}

/** The lines of one owner as one text, without the lines of its heading. */
function textOf(indices: readonly number[], heading: Heading | undefined, lines: readonly string[]): string {
  return indices
    .filter((index) => heading === undefined || index < heading.line || index >= heading.next)
    .map((index) => lines[index])
    .join('\n')
    .trim();
}

/** Headings without bars in whose sections this one stands, the innermost last. */
function headingsOver(heading: Heading, headings: readonly Heading[]): readonly string[] {
  let { level } = heading;
  const over: string[] = [];
  for (const one of headings.filter(({ line }) => line < heading.line).reverse()) {
    if (one.level >= level) continue;
    level = one.level;
    if (one.bars === undefined) over.unshift(one.text);
  }
  return over;
}

/** Headings without bars among these lines of the text, as they stand in it once it is trimmed. */
function innerHeadings(
  indices: readonly number[],
  own: Heading | undefined,
  headings: readonly Heading[],
  lines: readonly string[],
): readonly InnerHeading[] {
  const kept = indices.filter((index) => own === undefined || index < own.line || index >= own.next);
  const first = kept.findIndex((index) => (lines[index] ?? '').trim() !== '');
  return headings.flatMap((heading): InnerHeading[] => {
    const { text, level, line, next } = heading;
    if (heading === own) return [{ text, level, at: -1, next: 0 }];
    const at = kept.indexOf(line) - first;
    return heading.bars === undefined && kept.includes(line) ? [{ text, level, at, next: at + next - line }] : [];
  });
}

/** The memo of one heading with bars. */
function anchoredMemo(
  heading: Heading,
  bars: BarHeading,
  indices: readonly number[],
  context: MemoContext,
  headings: readonly Heading[],
): RawMemo {
  const line = heading.line + 1;
  const source = context.lines[heading.line] ?? '';
  const column = Math.max(0, source.indexOf(heading.text)) + 1;
  const over = headingsOver(heading, headings);
  const named = bars.names.map(({ name, offset }) => ({ content: name, line, column: column + offset }));
  return {
    ...common(context),
    line,
    heading: heading.text,
    markdown: textOf(indices, heading, context.lines),
    bars: { content: bars.span, line, column },
    parts: named.length > 0 ? named : context.front.parts,
    ...(over.length === 0 ? {} : { under: over }),
  };
}

/** Everything outside the headings with bars, as one memo; undefined where nothing is left. */
function wholeMemo(
  indices: readonly number[],
  headings: readonly Heading[],
  context: MemoContext,
): RawMemo | undefined {
  const { front, lines } = context;
  const first = indices.find((index) => (lines[index] ?? '').trim() !== '');
  if (first === undefined) return undefined;
  const heading = headings.find(({ line }) => line === first);
  const inner = innerHeadings(indices, heading, headings, lines);
  return {
    ...common(context),
    line: first + 1,
    heading: heading?.text ?? '',
    markdown: textOf(indices, heading, lines),
    ...(front.bars === undefined ? {} : { bars: front.bars }),
    parts: front.parts,
    ...(inner.length === 0 ? {} : { inner }),
  };
}

function headingProblem(file: string, line: number, { span: { from, to } }: BarHeading): Problem | undefined {
  if (from <= to) return undefined;
  const message = `The heading names bars ${quoted(`${from}-${to}`)}, whose first comes after the last: write ${quoted(`${to}-${from}`)}.`;
  return { kind: 'settings', code: 'bad-bars', file, line, column: 1, message };
}

/** The text in lines, with what the bytes needed to become text as a remark. */
function linesOf(
  bytes: Uint8Array,
  file: string,
): { readonly lines: readonly string[]; readonly problems: readonly Problem[] } {
  const { text, guessed } = decodeText(bytes);
  const lines = withoutDirectionMarks(text)
    .replace(/^\uFEFF/, '')
    .replaceAll('\0', '\uFFFD')
    .split(/\r\n|\r|\n/);
  if (guessed === undefined) return { lines, problems: [] };
  const message = `The note is not in UTF-8 and was read as ${guessed}: save it as UTF-8 if its letters look wrong.`;
  return { lines, problems: [{ kind: 'remark', code: 'text-encoding', file, message }] };
}

/**
 * Reads one note. `stageFolder` is the stage in whose folder it lies, if any. Faults in front matter and headings are
 * problems of kind `settings` with line and column; text of any encoding and form is read.
 */
export function readMemos(
  bytes: Uint8Array,
  file: string,
  stageFolder: string | undefined,
): { readonly memos: readonly RawMemo[]; readonly problems: readonly Problem[] } {
  const { lines, problems: encodingProblems } = linesOf(bytes, file);
  if (isAnswerFile(lines)) {
    const { memos, problems } = readAnswers(lines, file, stageFolder);
    return { memos, problems: [...encodingProblems, ...problems] };
  }
  const front = readFrontMatter(lines, file);
  if (front.problems.length > 0) return { memos: [], problems: [...encodingProblems, ...front.problems] };

  const context: MemoContext = { file, lines, front, stageFolder };
  const body = lines.map((line, index) => (index < front.lineCount ? '' : line)).join('\n');
  const headings = headingsOf(body);
  const indicesOf = new Map<number, number[]>();
  ownersOf(headings, lines.length).forEach((owner, index) => {
    if (index < front.lineCount) return;
    const indices = indicesOf.get(owner);
    if (indices === undefined) indicesOf.set(owner, [index]);
    else indices.push(index);
  });
  const problems: Problem[] = [...encodingProblems];
  const whole = wholeMemo(indicesOf.get(-1) ?? [], headings, context);
  const memos: RawMemo[] = whole === undefined ? [] : [whole];
  headings.forEach((heading, index) => {
    const { bars, line } = heading;
    if (bars === undefined) return;
    const problem = headingProblem(file, line + 1, bars);
    if (problem !== undefined) problems.push(problem);
    else if (memos.length < MOST_MEMOS)
      memos.push(anchoredMemo(heading, bars, indicesOf.get(index) ?? [], context, headings));
    else if (problems.every(({ code }) => code !== 'too-many-headings')) {
      const message = `The note has more than ${MOST_MEMOS} headings with bars; the rest was left out: split it into several files.`;
      problems.push({ kind: 'remark', code: 'too-many-headings', file, line: line + 1, column: 1, message });
    }
  });
  return { memos, problems: problems.slice(0, MOST_PROBLEMS) };
}
