/** Answers to earlier stages, taken to the place that theirs is in the current one. */
import type { Memo } from '../../../model/music/arrangement.ts';
import type { StageChange } from '../../../model/readings/readings.ts';

/** Bar numbers of the later stage by those of the earlier one; bars that were cut are not there. */
function laterNumbers({ barOrder }: StageChange): ReadonlyMap<number, number> {
  const pairs = new Map<number, number>();
  for (const { before, after, count } of [...barOrder.kept, ...barOrder.moved]) {
    for (let bar = 0; bar < count; bar++) pairs.set(before + bar, after + bar);
  }
  return pairs;
}

/** Ids of the later stage for a part of the earlier one: several where it was split. */
function laterParts({ parts }: StageChange, partId: string): readonly string[] {
  const split = parts.split.find(({ before }) => before === partId);
  if (split !== undefined) return split.after;
  const joined = parts.joined.find(({ before }) => before.includes(partId));
  return [joined?.after ?? parts.renamed.find(({ before }) => before === partId)?.after ?? partId];
}

/** The same answer one stage on; undefined where all its bars were cut. */
function oneStageOn(memo: Memo, change: StageChange): Memo | undefined {
  const partIds = [...new Set(memo.partIds.flatMap((id) => laterParts(change, id)))];
  const { from, to = from } = memo;
  if (from === undefined || to === undefined) return { ...memo, partIds, stageId: change.after };
  const later = laterNumbers(change);
  const bars = [...later].flatMap(([before, after]) => (before >= from && before <= to ? [after] : []));
  if (bars.length === 0) return undefined;
  return { ...memo, partIds, stageId: change.after, from: Math.min(...bars), to: Math.max(...bars) };
}

function carried(memo: Memo, titles: ReadonlyMap<string, string>, changes: readonly StageChange[]): Memo {
  const { answer, stageId, from, to } = memo;
  const first = changes.findIndex(({ before }) => before === stageId);
  if (answer === undefined || answer.was !== undefined || stageId === undefined || first < 0) return memo;
  const bars = from === undefined ? {} : { from, to: to ?? from };
  const was = { stage: titles.get(stageId) ?? stageId, ...bars };
  let place: Memo | undefined = memo;
  for (const change of changes.slice(first)) place = place === undefined ? undefined : oneStageOn(place, change);
  if (place === undefined) return { ...memo, answer: { ...answer, was: { ...was, fate: 'cut' } } };
  return { ...place, answer: { ...answer, was: { ...was, fate: 'moved' } } };
}

/**
 * The notes, with every answer to an earlier stage moved to the current one along with its bars and parts. One whose bars were all cut since
 * stays where it is and says so. `changes`: from each stage to the next, in order.
 */
export function carryAnswers(
  memos: readonly Memo[],
  stages: readonly { readonly id: string; readonly title: string }[],
  changes: readonly StageChange[],
): readonly Memo[] {
  const titles = new Map(stages.map(({ id, title }) => [id, title]));
  return memos.map((memo) => carried(memo, titles, changes));
}
