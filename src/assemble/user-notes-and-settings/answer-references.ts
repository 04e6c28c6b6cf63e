/** Answers of readers with their stage, bars and parts resolved. */
import type { AnswerPlace, Memo } from '../../model/music/arrangement.ts';
import type { Problem } from '../../problems/problem.ts';
import type { Located, RawAnswer, RawMemo } from '../../read/raw.ts';
import { partsMeant } from './part-words.ts';
import type { Known, Place, StageName } from './reference-words.ts';
import { allParts, barsProblem, stageMeant, unknownPart, unknownStage } from './reference-words.ts';

/** The stage that an answer is about: the one with this music, under whatever name, else the one that it names. */
function stageOf({ answer, stage }: RawMemo, { stageNames, musicOf }: Known): StageName | undefined {
  const named = stage === undefined ? undefined : stageMeant(stage.content, stageNames);
  const { music } = answer ?? {};
  if (music === undefined || (named !== undefined && musicOf(named.id) === music)) return named;
  return stageNames.find(({ id }) => id !== '' && musicOf(id) === music) ?? named;
}

/** What became of its place by now; undefined where it stands where it was written. */
function fateOf(raw: RawMemo, stage: StageName | undefined, { musicOf }: Known): AnswerPlace['fate'] | undefined {
  if (raw.stage !== undefined && (stage === undefined || stage.id === '')) return 'lost';
  const { music } = raw.answer ?? {};
  return music === undefined || stage === undefined || musicOf(stage.id) === music ? undefined : 'changed';
}

/**
 * An answer with what it names resolved. It comes from anybody and may be about a folder that has changed: what fits nothing is a remark
 * among `problems`, takes its place from it, and stops nothing.
 */
export function answerMemoOf(raw: RawMemo, answer: RawAnswer, known: Known, problems: Problem[]): Memo {
  const stage = stageOf(raw, known);
  const own = known.stages.filter(({ id }) => id === stage?.id);
  const stages = own.length > 0 ? own : known.stages;
  const parts = allParts(stages);
  const at = ({ line, column }: Located<unknown>): Place => ({ file: raw.file, line, column });
  const tell = (problem: Problem): void => {
    problems.push({ ...problem, kind: 'remark' });
  };
  const bars = raw.bars?.content;
  let fate = fateOf(raw, stage, known);
  if (raw.stage !== undefined && stage === undefined)
    tell(unknownStage(raw.stage.content, known.stageNames, at(raw.stage)));
  const outside = raw.bars === undefined ? undefined : barsProblem(raw.bars.content, stages, at(raw.bars));
  if (fate === undefined && outside !== undefined) {
    fate = 'lost';
    tell(outside);
  }
  const partIds = raw.parts.flatMap((word) => {
    const meant = partsMeant(word.content, parts, known.read);
    if (fate === undefined && meant.length === 0) tell(unknownPart(word.content, parts, at(word)));
    return meant.map(({ id }) => id);
  });
  const was = { stage: own[0]?.title ?? raw.stage?.content ?? '', ...bars };
  return {
    file: raw.file,
    line: raw.line,
    heading: '',
    markdown: raw.markdown,
    ...(own[0] === undefined ? {} : { stageId: own[0].id }),
    ...(fate === undefined ? bars : {}),
    partIds: fate === undefined ? [...new Set(partIds)] : [],
    kind: raw.kind,
    ...(raw.date === undefined ? {} : { date: raw.date }),
    answer: { ...answer, ...(fate === undefined ? {} : { was: { ...was, fate } }) },
  };
}
