/** The levels of a part that was played anew: what holds for all of it, and what stands out of its own scatter. */
import { mean, median } from '../../model/music/dynamics.ts';
import { numbersIn, runsOf } from '../../model/words/plain-words.ts';

/** A part whose bars lie farther from their neighbours, in decibels, was struck by hand in both stages. Our convention. */
const LEAST_SCATTER_DB = 0.5;
/** Fewer bars do not tell how they scatter. */
const FEWEST_BARS = 8;
/** Of a normal distribution: the standard deviation by the median distance of two neighbours from one another. */
const OF_NEIGHBOURS = 1.4826 / Math.SQRT2;
/** A whole part that is set by less is as loud; about the smallest difference of level that is heard (Zwicker and Fastl, from memory). */
const LEAST_WHOLE_DB = 1;
/** Each bar of a passage that stands out, seen with its neighbours, does so by so much and by so many times the scatter, and its mean by so many times what that of as many bars scatters; of a single bar nobody can tell. Our conventions. */
const LEAST_PASSAGE_DB = 3;
const BAR_STANDS_OUT = 2;
const STANDS_OUT = { short: 5, long: 4 } as const;
const LONG_BARS = 4;
/** A bar at its edge is of it where it has so much of its change. */
const EDGE_SHARE = 0.6;
const LEAST_BARS = 2;

function medianOfAll(values: Float64Array): number {
  return median([...values]) ?? 0;
}

/** How far the changes of neighbouring bars lie apart by chance, dB: what was set in steps leaves it at nothing. */
function scatterOf(changesDb: Float64Array): number {
  const steps = changesDb.subarray(1).map((change, at) => Math.abs(change - (changesDb[at] ?? 0)));
  return OF_NEIGHBOURS * medianOfAll(steps);
}

export function isByHand(changesDb: Float64Array): boolean {
  return changesDb.length >= FEWEST_BARS && scatterOf(changesDb) >= LEAST_SCATTER_DB;
}

/** Each the middle one of itself and its neighbours: a step stays where it is, and a single bar goes. */
function smoothed(values: Float64Array): Float64Array {
  return values.map((value, at) => {
    const [one, other] = [values[at - 1] ?? value, values[at + 1] ?? value];
    return Math.max(Math.min(one, other), Math.min(Math.max(one, other), value));
  });
}

function meanOf(values: Float64Array, places: readonly number[]): number {
  return mean(places.map((at) => values[at] ?? 0));
}

/** Places of changes, with the amount that holds for them. */
export interface SetLevel {
  readonly places: readonly number[];
  readonly db: number;
  /** False of what holds for the whole part. */
  readonly isPassage: boolean;
}

/** What was set: the whole part, told once, where that is heard; and passages that stand out of what is left by more than its scatter. */
export function setBesideScatter(changesDb: Float64Array): readonly SetLevel[] {
  const whole = medianOfAll(changesDb);
  const scatter = scatterOf(changesDb);
  const left = changesDb.map((change) => change - whole);
  const even = smoothed(left);
  const passages = [-1, 1].flatMap((sign) => {
    const apart = [...even.keys()].filter(
      (at) => sign * (even[at] ?? 0) >= Math.max(LEAST_PASSAGE_DB, BAR_STANDS_OUT * scatter),
    );
    return runsOf(apart).flatMap((run): SetLevel[] => {
      const core = numbersIn(run);
      const isOfCore = (at: number): boolean => sign * (left[at] ?? 0) >= EDGE_SHARE * sign * meanOf(left, core);
      const edges = [run.from - 1, run.to + 1].filter((at) => at >= 0 && at < left.length && isOfCore(at));
      const places = [...core, ...edges].sort((a, b) => a - b);
      const times = places.length >= LONG_BARS ? STANDS_OUT.long : STANDS_OUT.short;
      const least = Math.max(LEAST_PASSAGE_DB, (times * scatter) / Math.sqrt(places.length));
      if (places.length < LEAST_BARS || sign * meanOf(left, places) < least) return [];
      const db = medianOfAll(new Float64Array(places.map((at) => changesDb[at] ?? 0)));
      return [{ places, db, isPassage: true }];
    });
  });
  const told = new Set(passages.flatMap(({ places }) => places));
  const rest = [...changesDb.keys()].filter((at) => !told.has(at));
  return [
    ...(Math.abs(whole) < LEAST_WHOLE_DB || rest.length === 0 ? [] : [{ places: rest, db: whole, isPassage: false }]),
    ...passages,
  ];
}
