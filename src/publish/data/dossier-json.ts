/** `dossier.json`, the data contract `arrangement-dossier/1`: everything the pages show. Keys stand in a fixed order. */
import type { Problem } from '../../problems/problem.ts';
import { placeOf } from '../../problems/problem.ts';
import type { Memo } from '../../model/arrangement.ts';
import type { StageChange } from '../../model/readings.ts';
import type { DossierInput, PublishedRule } from '../dossier-input.ts';
import { noteHtml } from '../render-note.ts';
import { stageRecord } from './stage-record.ts';

export const DATA_FORMAT = 'arrangement-dossier/1';

function problemRecord(problem: Problem): object {
  return { kind: problem.kind, code: problem.code, place: placeOf(problem), message: problem.message };
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
    html: noteHtml(memo.markdown),
  };
}

function changeRecord(change: StageChange): object {
  return {
    before: change.before,
    after: change.after,
    parts: {
      added: change.parts.added,
      removed: change.parts.removed,
      changed: change.parts.changed.map((item) => ({ part: item.partId, bars: item.bars })),
    },
    bars: change.bars,
  };
}

function ruleRecord(rule: PublishedRule): object {
  const { name, title, level, looksAt, why, limits, source } = rule;
  return { name, title, level, looksAt, why, limits, source };
}

/** The export as plain data. */
export function dossierRecord(input: DossierInput): object {
  const { arrangement } = input;
  return {
    format: DATA_FORMAT,
    title: arrangement.title,
    subtitle: arrangement.subtitle ?? null,
    arranger: arrangement.arranger ?? null,
    for: arrangement.for ?? null,
    date: arrangement.date ?? null,
    paper: arrangement.paper,
    files: arrangement.files.map((file) => ({
      path: file.path,
      sha256: file.sha256,
      use: file.use,
      problems: arrangement.problems.filter((problem) => problem.file === file.path).map(problemRecord),
    })),
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
    stages: input.stages.map(stageRecord),
    changes: input.changes.map(changeRecord),
    notes: arrangement.memos.map(memoRecord),
    rules: input.rules.map(ruleRecord),
  };
}

/** The export as text, one line for each entry of the long lists, so that two versions can be compared line by line. */
export function dossierJson(input: DossierInput): string {
  return `${layOut(dossierRecord(input), '')}\n`;
}

/** Widest object or list that is kept on one line. */
const LINE_WIDTH = 200;

function layOut(content: unknown, indent: string): string {
  const flat = JSON.stringify(content);
  if (flat.length <= LINE_WIDTH || typeof content !== 'object' || content === null) return flat;
  const deeper = `${indent} `;
  if (Array.isArray(content)) {
    const items = content.map((item: unknown) => deeper + layOut(item, deeper));
    return `[\n${items.join(',\n')}\n${indent}]`;
  }
  const entries = Object.entries(content)
    .filter(([, item]) => item !== undefined)
    .map(([name, item]) => `${deeper}${JSON.stringify(name)}: ${layOut(item, deeper)}`);
  return `{\n${entries.join(',\n')}\n${indent}}`;
}
