/** The lines between two lines of three hyphens at the head of a note. */
import type { Problem } from '../../problems/problem.ts';
import type { Located, RawAnswer, RawMemo } from '../raw.ts';
import { isTextAt, problemsOf } from '../settings/settings-problems.ts';
import { frontMatterRows, frontMatterSchema } from '../settings/settings-table.ts';
import type { FrontMatter } from '../settings/settings-table.ts';
import type { BarSpan } from '../settings/settings.ts';
import { parseYaml, pathKey } from '../settings/yaml-source.ts';
import type { Path, YamlSource } from '../settings/yaml-source.ts';

export interface FrontMatterReading {
  readonly stage?: Located<string>;
  readonly bars?: Located<BarSpan>;
  readonly parts: readonly Located<string>[];
  readonly kind: RawMemo['kind'];
  readonly date?: string;
  /** Where it says what only an answer says. */
  readonly answer?: RawAnswer;
  /** Number of lines that belong to the front matter, its fences included. */
  readonly lineCount: number;
  readonly problems: readonly Problem[];
}

const NONE: FrontMatterReading = { parts: [], kind: 'remark', lineCount: 0, problems: [] };

/** Kinds that only an answer has. */
export const ANSWER_KINDS: ReadonlySet<RawMemo['kind']> = new Set(['answer', 'accepted', 'mended']);

function located<Content>(content: Content, source: YamlSource, ...paths: readonly Path[]): Located<Content> {
  for (const path of paths) {
    const position = source.values.get(pathKey(path));
    if (position !== undefined) return { content, ...position };
  }
  return { content, line: 1, column: 1 };
}

function answerOf({ kind = 'remark', from, about, music, question, finding }: FrontMatter): RawAnswer | undefined {
  const said = { about, music, question, finding };
  const isAnswer = ANSWER_KINDS.has(kind) || [from, ...Object.values(said)].some((text) => text !== undefined);
  if (!isAnswer) return undefined;
  const given = Object.entries(said).filter(([, text]) => text !== undefined);
  return { from: from ?? '', ...Object.fromEntries(given) };
}

/**
 * Reads front matter at the head of a note, or of an answer further down, given as lines; `before`: so many lines of the file stand before
 * these. A first line of hyphens that nothing closes is a rule across the page, unless a key follows it.
 */
export function readFrontMatter(lines: readonly string[], file: string, before = 0): FrontMatterReading {
  if (lines[0]?.trimEnd() !== '---') return NONE;
  const end = lines.findIndex((line, index) => index > 0 && /^(?:---|\.\.\.)\s*$/.test(line));
  if (end < 0) {
    if (!/^[a-z]+\s*:/i.test(lines[1] ?? '')) return NONE;
    const message = 'The settings at the head of this note are not closed: add a line of three hyphens after them.';
    const problem: Problem = {
      kind: 'settings',
      code: 'open-front-matter',
      file,
      line: before + 1,
      column: 1,
      message,
    };
    return { ...NONE, lineCount: lines.length, problems: [problem] };
  }
  if (!lines.slice(1, end).some((line) => /^\s*[^\s:#-][^:]*:/.test(line))) {
    // Two rules with text between them, or nothing: no settings at all.
    return NONE;
  }
  const lineCount = end + 1;
  const source = parseYaml(lines.slice(1, end).join('\n'), file, isTextAt(frontMatterRows), before + 1);
  if (source.root === undefined) return { ...NONE, lineCount, problems: source.problems };
  const checked = frontMatterSchema.safeParse(source.root);
  if (!checked.success) {
    const problems = problemsOf(checked.error.issues, source, frontMatterRows, file);
    return { ...NONE, lineCount, problems };
  }
  const { stage, bars, parts = [], kind = 'remark', date } = checked.data;
  const answer = answerOf(checked.data);
  return {
    ...(stage === undefined ? {} : { stage: located(stage, source, ['stage']) }),
    ...(bars === undefined ? {} : { bars: located(bars, source, ['bars']) }),
    parts: parts.map((part, index) => located(part, source, ['parts', index], ['parts'])),
    kind,
    ...(date === undefined ? {} : { date }),
    ...(answer === undefined ? {} : { answer }),
    lineCount,
    problems: [],
  };
}
