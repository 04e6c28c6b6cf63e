/**
 * Written lengths of the notes of all parts: what each shows by itself (`part-lengths`), then what they have in common.
 */
import { groupedBy } from '../../model/grouped.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { endsOfEvenRuns } from './even-runs.ts';
import type { KnownParts } from '../known-parts.ts';
import { asPlayed, knownParts } from '../known-parts.ts';
import type { LengthInput, Open } from './part-lengths.ts';
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
    const alike = asMostOf(open.map((one, at) => ({ ...one, end: agreed[from + at] as number })));
    const valued = open.map(({ sounded: { onset }, notes, staff }, at) => ({
      onset,
      end: alike[at] as number,
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

interface Agreed extends Pick<Open, 'staff' | 'alike' | 'sounded'> {
  readonly end: number;
}

/** Ends of notes in the same order: those that mean the same length have the one that most of them got beside the other players. */
function asMostOf(notes: readonly Agreed[]): number[] {
  const lengths = notes.map(({ end, sounded }) => end - sounded.onset);
  const places = lengths.map((_, at) => at).filter((at) => (notes[at] as Agreed).alike >= 0);
  for (const group of groupedBy(places, (at) => `${String(notes[at]?.staff)} ${String(notes[at]?.alike)}`).values()) {
    const counts = groupedBy(group, (at) => lengths[at]);
    if (counts.size < 2) continue;
    const [most = []] = [...counts.values()].sort((a, b) => b.length - a.length);
    for (const at of group) lengths[at] = lengths[most[0] as number] as number;
  }
  return notes.map(({ sounded }, at) => sounded.onset + (lengths[at] as number));
}
