/** The levels of a part that was played anew: what holds for all of it, and what stands out of its own scatter. */
import { numbersIn, runsOf } from '../../../model/words/plain-words.ts';
import { medianOf } from './played-timing.ts';

/** A part whose bars lie farther from their neighbours, in decibels, was struck by hand in both stages. Our convention. */
const LEAST_SCATTER_DB = 0.5;
/** Of a normal distribution: the standard deviation by the median distance of two neighbours from one another. */
const OF_NEIGHBOURS = 1.4826 / Math.SQRT2;
/** A whole part that is set by less is as loud; about the smallest difference of level that is heard (Zwicker and Fastl, from memory). */
const LEAST_WHOLE_DB = 1;
/** Each bar of a passage that stands out, seen with its neighbours, does so by so much and by so many times the scatter, and its mean by so many times what that of as many bars scatters; of a single bar nobody can tell. Our conventions. */
const LEAST_PASSAGE_DB = 3;
const BAR_STANDS_OUT = 2;
const STANDS_OUT = 5;
const LEAST_BARS = 2;

function medianOfAll(values: Float64Array): number {
  return values.length === 0 ? 0 : medianOf(values.slice().sort());
}

/** How far the changes of neighbouring bars lie apart by chance, dB: what was set in steps leaves it at nothing. */
export function scatterOf(changesDb: Float64Array): number {
  const steps = changesDb.subarray(1).map((change, at) => Math.abs(change - (changesDb[at] ?? 0)));
  return OF_NEIGHBOURS * medianOfAll(steps);
}

export function isByHand(changesDb: Float64Array): boolean {
  return scatterOf(changesDb) >= LEAST_SCATTER_DB;
}

/** Each the middle one of itself and its neighbours: a step stays where it is, and a single bar goes. */
function smoothed(values: Float64Array): Float64Array {
  return values.map((value, at) => {
    const [one, other] = [values[at - 1] ?? value, values[at + 1] ?? value];
    return Math.max(Math.min(one, other), Math.min(Math.max(one, other), value));
  });
}

/** Places of changes, with the amount that holds for them. */
export interface SetLevel {
  readonly places: readonly number[];
  readonly db: number;
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
      const places = numbersIn(run);
      const mean = places.reduce((sum, at) => sum + (left[at] ?? 0), 0) / places.length;
      const least = Math.max(LEAST_PASSAGE_DB, (STANDS_OUT * scatter) / Math.sqrt(places.length));
      if (places.length < LEAST_BARS || sign * mean < least) return [];
      return [{ places, db: medianOfAll(new Float64Array(places.map((at) => changesDb[at] ?? 0))) }];
    });
  });
  const told = new Set(passages.flatMap(({ places }) => places));
  const rest = [...changesDb.keys()].filter((at) => !told.has(at));
  return [...(Math.abs(whole) < LEAST_WHOLE_DB || rest.length === 0 ? [] : [{ places: rest, db: whole }]), ...passages];
}
