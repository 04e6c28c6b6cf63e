/** Notes with their stage, bars and parts resolved. */
import type { Memo, Part, Stage } from '../../model/music/arrangement.ts';
import type { Problem } from '../../problems/problem.ts';
import { quoted } from '../../read/clean-text.ts';
import type { Located, RawMemo } from '../../read/raw.ts';
import { answerMemoOf } from './answer-references.ts';
import { partsMeant } from './part-words.ts';
import type { Known, Place } from './reference-words.ts';
import { mattersOf } from './said-matters.ts';
import { allParts, barsProblem, stageMeant, unknownPart, unknownStage } from './reference-words.ts';
import type { NameReader } from '../names/source-track.ts';

/** What stands between the signs and words of a list. */
function listed(text: string): readonly string[] {
  return text.split(/\s*(?:[,;+&/]|\band\b|\bund\b|\bet\b)\s*/i).filter((piece) => piece !== '');
}

/** Parts that the words of a heading mean; words that mean none are ordinary words. */
function looseParts(text: string, parts: readonly Part[], read: NameReader): readonly Part[] {
  const whole = partsMeant(text, parts, read);
  if (whole.length > 0) return whole;
  const found = listed(text.replaceAll(':', ',')).flatMap((piece) => partsMeant(piece, parts, read));
  if (found.length > 0) return found;
  const words = text.split(/\s+/).filter((word) => word.length > 1);
  const runs = words.flatMap((word, index) => [`${word} ${words[index + 1] ?? ''}`.trim(), word]);
  return runs.flatMap((run) => partsMeant(run, parts, read));
}

/** Parts that the stage before this one has and this one has not: a note about a stage may say why they went. */
function goneBefore(stages: readonly Stage[], stage: Stage | undefined): readonly Part[] {
  if (stage === undefined) return [];
  const before = stages[stages.indexOf(stage) - 1];
  const ids = new Set(stage.parts.map(({ id }) => id));
  return (before?.parts ?? []).filter(({ id }) => !ids.has(id));
}

/** Parts that a heading is the names of, and nothing else: `Horn in F`, `Oboe and Bassoon`. */
function namedByHeading(heading: string, parts: readonly Part[], read: NameReader): readonly Part[] {
  const found = listed(heading).map((piece) => partsMeant(piece, parts, read));
  return found.every((meant) => meant.length > 0) ? found.flat() : [];
}

function memoOf(raw: RawMemo, known: Known, problems: Problem[]): Memo {
  if (raw.answer !== undefined) return answerMemoOf(raw, raw.answer, known, problems);
  const at = (located: Located<unknown>): Place => ({ file: raw.file, line: located.line, column: located.column });
  const stage = raw.stage === undefined ? undefined : stageMeant(raw.stage.content, known.stageNames);
  if (raw.stage !== undefined && stage === undefined)
    problems.push(unknownStage(raw.stage.content, known.stageNames, at(raw.stage)));
  const own = known.stages.filter((candidate) => candidate.id === stage?.id);
  const stages = own.length > 0 ? own : known.stages;
  const parts = allParts(stages);
  const gone = goneBefore(known.stages, own[0]);
  const partIds = raw.parts.flatMap((word) => {
    // A heading comes at the memo's own line; front matter stands before it.
    const fromHeading = word.line >= raw.line;
    const meantAmong = (some: readonly Part[]): readonly Part[] =>
      (fromHeading ? looseParts : partsMeant)(word.content, some, known.read);
    const here = meantAmong(parts);
    // A heading may tell of a part that is gone and of one that has its music.
    const meant = fromHeading || here.length === 0 ? [...here, ...meantAmong(gone)] : here;
    if (!fromHeading && meant.length === 0) problems.push(unknownPart(word.content, parts, at(word)));
    return meant.map((part) => part.id);
  });
  if (raw.parts.length === 0)
    partIds.push(...namedByHeading(raw.heading, [...parts, ...gone], known.read).map(({ id }) => id));
  if (raw.bars !== undefined) {
    const problem = barsProblem(raw.bars.content, stages, at(raw.bars));
    if (problem !== undefined) problems.push(problem);
  }
  const matters = mattersOf(raw.markdown, [...parts, ...gone], known.read);
  return {
    file: raw.file,
    line: raw.line,
    heading: raw.heading,
    markdown: raw.markdown,
    ...(stage === undefined ? {} : { stageId: stage.id }),
    ...(raw.bars === undefined ? {} : { from: raw.bars.content.from, to: raw.bars.content.to }),
    partIds: [...new Set(partIds)],
    kind: raw.kind,
    ...(raw.date === undefined ? {} : { date: raw.date }),
    ...(matters.length === 0 ? {} : { matters }),
  };
}

/** The day of an answer where it is written as ISO 8601 has it; else none, which comes first. */
function dayOf({ date = '' }: Memo): string {
  return /^\d{4}-\d{2}-\d{2}$/.test(date) ? date : '';
}

/** Notes in their order, then answers by their days; one that two files hold, as when it is saved again, is one. */
function inOrder(memos: readonly Memo[], problems: Problem[]): readonly Memo[] {
  const once = new Map<string, Memo>();
  for (const memo of memos) {
    if (memo.answer === undefined) continue;
    const said = JSON.stringify({ ...memo, file: '', line: 0, date: '' });
    const first = once.get(said);
    if (first === undefined) once.set(said, memo);
    else {
      const { file, line } = memo;
      const message = `This answer stands in ${quoted(first.file)} already and is shown once.`;
      problems.push({ kind: 'remark', code: 'same-answer', file, line, column: 1, message });
    }
  }
  const byDay = [...once.values()].sort((a, b) => (dayOf(a) < dayOf(b) ? -1 : dayOf(a) > dayOf(b) ? 1 : 0));
  return [...memos.filter(({ answer }) => answer === undefined), ...byDay];
}

/** Notes with their stage, bars and parts resolved, answers last and by their days; what cannot be resolved is a problem of kind `settings`. */
export function memosOf(
  raw: readonly RawMemo[],
  known: Known,
): { readonly memos: readonly Memo[]; readonly problems: readonly Problem[] } {
  const problems: Problem[] = [];
  const memos = raw.map((memo) => memoOf(memo, known, problems));
  return { memos: inOrder(memos, problems), problems };
}
