/**
 * Written lengths of the notes of all parts: what each shows by itself (`part-lengths`), then what they have in common.
 */
import { groupedBy } from '../../model/grouped.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { endsOfEvenRuns } from './even-runs.ts';
import type { KnownParts } from '../known-parts.ts';
import { asPlayed, knownParts } from '../known-parts.ts';
import type { LengthInput } from './part-lengths.ts';
import { endWithin, lengthsOfPart } from './part-lengths.ts';
import { agreedEnds } from './struck-together.ts';

/** Written ends in divisions of the notes of each part: after the onset, at most the end of the last bar. */
export function lengthsOf(
  parts: readonly LengthInput[],
  before: KnownParts = knownParts(),
): readonly (readonly number[])[] {
  const known = parts.map((input) => {
    const { part, grid, timeline, time, swings } = input;
    const inputs = [asPlayed(part), grid, timeline, time, swings];
    const { ends, open } = before.recall('lengths', part.id, inputs, () => lengthsOfPart(input));
    return { ends: [...ends], open };
  });
  const agreed = agreedEnds(
    known.flatMap(({ open }) =>
      open.map(({ sounded: { onset, next, ways }, struck, chances }) => ({ onset, next, struck, ways, chances })),
    ),
  );
  let from = 0;
  for (const [index, { ends, open }] of known.entries()) {
    const time = parts[index]?.time as ScoreTime;
    const valued = open.map(({ sounded: { onset }, notes, staff }, at) => ({
      onset,
      end: agreed[from + at] as number,
      size: notes.length,
      notes,
      staff,
    }));
    from += open.length;
    for (const [, own] of groupedBy(valued, ({ staff }) => staff)) {
      for (const [at, end] of endsOfEvenRuns(own, time).entries()) {
        const { onset, notes } = own[at] as (typeof own)[number];
        for (const note of notes) ends[note] = endWithin(time, onset, end);
      }
    }
  }
  return known.map(({ ends }) => ends);
}
