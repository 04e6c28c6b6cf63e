/** `dossier.json`, the data contract `arrangement-dossier/2`: everything the pages show. Keys stand in a fixed order. */
import type { Problem } from '../../problems/problem.ts';
import { placeOf } from '../../problems/problem.ts';
import type { Answer, Memo } from '../../model/music/arrangement.ts';
import type { DossierInput, PublishedRule, PublishedStage, ExportedStage } from '../dossier-input.ts';
import { noteHtml } from '../render-note.ts';
import { imprintOf } from '../imprint.ts';
import { rounded } from './rounding.ts';
import { changeRecord } from './change-record.ts';
import { stageRecord, stageRecords } from './stage-record.ts';

/** Name of the file. */
export const DOSSIER_JSON = 'dossier.json';

const DATA_FORMAT = 'arrangement-dossier/2';

function problemRecord(problem: Problem): object {
  return { kind: problem.kind, code: problem.code, place: placeOf(problem), message: problem.message };
}

function answerRecord({ from, about, question, finding, was }: Answer): object {
  return {
    from,
    about: about ?? null,
    question: question ?? null,
    finding: finding ?? null,
    was: was === undefined ? null : { stage: was.stage, from: was.from ?? null, to: was.to ?? null, fate: was.fate },
  };
}

function memoRecord(memo: Memo): object {
  return {
    file: memo.file,
    line: memo.line,
    heading: memo.heading,
    stage: memo.stageId ?? null,
    from: memo.from ?? null,
    to: memo.to ?? memo.from ?? null,
    parts: memo.partIds,
    kind: memo.kind,
    date: memo.date ?? null,
    html: noteHtml(memo.markdown),
    answer: memo.answer === undefined ? null : answerRecord(memo.answer),
  };
}

function ruleRecord(rule: PublishedRule): object {
  const { name, title, level, looksAt, why, limits, source } = rule;
  return { name, title, level, looksAt, why, limits, source };
}

/** Everything but the stages, which are long and are made one at a time. */
function recordOf(input: DossierInput, stages: readonly object[]): Readonly<Record<string, unknown>> {
  const { arrangement } = input;
  return {
    format: DATA_FORMAT,
    title: arrangement.title,
    subtitle: arrangement.subtitle ?? null,
    arranger: arrangement.arranger ?? null,
    for: arrangement.for ?? null,
    date: arrangement.date ?? null,
    paper: arrangement.paper,
    made: imprintOf(input),
    files: arrangement.files.map((file) => ({
      path: file.path,
      sha256: file.sha256,
      use: file.use,
      problems: arrangement.problems.filter((problem) => problem.file === file.path).map(problemRecord),
    })),
    ...(arrangement.audio === undefined
      ? {}
      : {
          audio: arrangement.audio.map(({ stageId, file, firstBarSecond, placedBy }) => ({
            stage: stageId,
            file,
            firstBarSecond: rounded(firstBarSecond, 3),
            placedBy,
          })),
        }),
    problems: arrangement.problems.map(problemRecord),
    assumptions: arrangement.assumptions,
    limits: arrangement.limits,
    accepted: arrangement.accepted.map((item) => ({
      rule: item.rule,
      stage: item.stageId ?? null,
      from: item.from ?? null,
      to: item.to ?? null,
      parts: item.partIds ?? [],
      reason: item.reason,
    })),
    current: arrangement.stages.at(-1)?.id ?? null,
    stages,
    changes: input.changes.map(changeRecord),
    comparisons: (input.comparisons ?? []).map(changeRecord),
    notes: arrangement.memos.map(memoRecord),
    rules: input.rules.map(ruleRecord),
    history: input.history ?? [],
  };
}

/** The export as plain data. */
export function dossierRecord(input: DossierInput): Readonly<Record<string, unknown>> {
  return recordOf(input, input.stages.map(stageRecord));
}

/** One stage of the export as text, as it stands in the list of stages, piece by piece: each record is let go once it is text. */
export function* stagePieces(stage: ExportedStage): Generator<string> {
  let before = '{';
  for (const recordOfSome of stageRecords(stage)) {
    for (const [name, content] of Object.entries(recordOfSome())) {
      if (content === undefined) continue;
      yield `${before}\n   ${JSON.stringify(name)}:`;
      yield layOut(content, '   ');
      before = ',';
    }
  }
  yield '\n  }';
}

/** The same as one text. */
export function stageText(stage: ExportedStage): string {
  return [...stagePieces(stage)].join('');
}

/**
 * The export as text, piece by piece, one line for each entry of the long lists, so that two versions can be compared line by line. A long piece has
 * hundreds of thousands of notes: its text need not be held whole.
 */
export function* dossierPieces(
  input: DossierInput,
  piecesOf: (stage: PublishedStage) => Iterable<string>,
): Generator<string> {
  let before = '{';
  for (const [name, content] of Object.entries(recordOf(input, []))) {
    yield `${before}\n ${JSON.stringify(name)}: `;
    before = ',';
    if (name !== 'stages') {
      yield layOut(content, ' ');
      continue;
    }
    yield '[\n';
    for (const [index, stage] of input.stages.entries()) {
      yield index === 0 ? '  ' : ',\n  ';
      yield* piecesOf(stage);
    }
    yield '\n ]';
  }
  yield '\n}\n';
}

/** The export as one text. */
export function dossierJson(input: DossierInput, textOf: (stage: PublishedStage) => string = stageText): string {
  return [...dossierPieces(input, (stage) => [textOf(stage)])].join('');
}

/** Widest object or list that is kept on one line. */
const LINE_WIDTH = 200;

/** How many more values may stand in a list or record, of so many that are left, with all that is in it; negative where there are more. */
function leftAfter(content: unknown, most: number): number {
  let left = most - 1;
  if (typeof content !== 'object' || content === null) return left;
  for (const item of Object.values(content)) {
    left = leftAfter(item, left);
    if (left < 0) return left;
  }
  return left;
}

/** Each value takes two characters at least, with what parts it from the next. */
const MOST_IN_LINE = LINE_WIDTH / 2;

/** From the inside out, so that every value is made into text once. A text of several lines is longer than one line may be. */
function layOut(content: unknown, indent: string): string {
  if (typeof content !== 'object' || content === null) return JSON.stringify(content);
  // What is short is written at once.
  if (leftAfter(content, MOST_IN_LINE) >= 0) {
    const line = JSON.stringify(content);
    if (line.length <= LINE_WIDTH) return line;
  }
  const deeper = `${indent} `;
  const isList = Array.isArray(content);
  const items = isList
    ? content.map((item: unknown) => layOut(item, deeper))
    : Object.entries(content)
        .filter(([, item]) => item !== undefined)
        .map(([name, item]) => `${JSON.stringify(name)}:${layOut(item, deeper)}`);
  const [open, close] = isList ? ['[', ']'] : ['{', '}'];
  let width = items.length + 1;
  for (const item of items) width += item.length;
  if (width <= LINE_WIDTH) return open + items.join(',') + close;
  return `${open}\n${deeper}${items.join(`,\n${deeper}`)}\n${indent}${close}`;
}
