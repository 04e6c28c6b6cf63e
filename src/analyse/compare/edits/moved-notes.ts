/** Passages of a part that stand a bar, a beat or half a beat beside where they stood: the same music, put down at another place. */
import type { MovedBy } from '../../../model/readings/readings.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import { pulseQuarters } from '../../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import type { BarNote, NotesByBar } from '../bars/bar-notes.ts';
import type { BarSet } from '../matches/part-sides.ts';

/** Both begin their notes within a thirty-second of the move. */
const TOLERANCE_DIVISIONS = DIVISIONS_PER_QUARTER / 8;
/** So many notes on so many pitches are no chance, nor so much of a passage. Our conventions. */
const LEAST_NOTES = 4;
const LEAST_PITCHES = 2;
const LEAST_BARS = 2;
const MOVED_SHARE = 0.85;
/** Music that repeats itself stands where it stood as well: no more of it than this may. */
const STAYED_SHARE = 0.5;

export interface MovedBars {
  readonly bars: readonly number[];
  readonly moved: MovedBy;
}

/** By how much each name moves the notes about a bar, in divisions. */
function movesAt({ meter, lengthQuarters }: Bar): readonly (readonly [MovedBy, number])[] {
  const pulse = pulseQuarters(meter);
  const steps = [
    ['a bar', lengthQuarters],
    ['a beat', pulse],
    ['half a beat', pulse / 2],
  ] as const;
  return steps.flatMap(([name, quarters]) => [
    [`${name} later`, quarters * DIVISIONS_PER_QUARTER] as const,
    [`${name} earlier`, -quarters * DIVISIONS_PER_QUARTER] as const,
  ]);
}

/** How many of some notes are among others, moved by so much; each of those once. */
function movedCount(olds: readonly BarNote[], news: readonly BarNote[], by: number): number {
  const left = new Set(news);
  let count = 0;
  for (const old of olds) {
    for (const note of left) {
      if (note.midi !== old.midi || Math.abs(note.start - old.start - by) > TOLERANCE_DIVISIONS) continue;
      left.delete(note);
      count++;
      break;
    }
  }
  return count;
}

/** Neighbouring bars of a set, ascending. */
function runsIn(bars: BarSet, count: number): readonly (readonly number[])[] {
  const runs: number[][] = [];
  for (let bar = 0; bar < count; bar++) {
    if (!bars.has(bar)) continue;
    const run = runs.at(-1);
    if (run?.at(-1) === bar - 1) run.push(bar);
    else runs.push([bar]);
  }
  return runs;
}

/** Runs of differing bars whose notes are those that stood there, moved; `differing` by index, both of the same part in the later stage's bars. */
export function movedBars(
  differing: BarSet,
  before: NotesByBar,
  after: NotesByBar,
  bars: readonly Bar[],
): readonly MovedBars[] {
  return runsIn(differing, bars.length).flatMap((run): MovedBars[] => {
    const place = bars[run[0] ?? 0];
    if (place === undefined || run.length < LEAST_BARS) return [];
    const [olds, news] = [run.flatMap((bar) => before.in(bar)), run.flatMap((bar) => after.in(bar))];
    if (news[0]?.part.unpitched === true) return [];
    const count = Math.min(olds.length, news.length);
    if (count < LEAST_NOTES || new Set(news.map(({ midi }) => midi)).size < LEAST_PITCHES) return [];
    const needed = MOVED_SHARE * Math.max(olds.length, news.length);
    if (count < needed || movedCount(olds, news, 0) > STAYED_SHARE * count) return [];
    const [best] = movesAt(place)
      .map(([moved, by]) => ({ moved, shared: movedCount(olds, news, by) }))
      .filter(({ shared }) => shared >= needed)
      .sort((a, b) => b.shared - a.shared);
    return best === undefined ? [] : [{ bars: run, moved: best.moved }];
  });
}
