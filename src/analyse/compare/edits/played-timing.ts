/**
 * How a part is played around the written places, before and after. Another take puts every note elsewhere and a new export rounds
 * them; what tells that somebody re-timed a part is that the notes as a whole lie later or earlier, or closer or wider.
 */
import { median } from '../../../model/music/dynamics.ts';
import type { PartEdit, PartTiming } from '../../../model/readings/readings.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { countOf, type KeptNotes } from '../matches/match-notes.ts';
import { countedBars, type BarNote, type NotesByBar } from '../bars/bar-notes.ts';
import { onceEach } from '../../../model/once-each.ts';

/** Smaller differences come from the grid of the file: a tick at 96 to the quarter lasts 5 ms at 120. */
const PLAYED_APART_SECONDS = 0.005;
/** A part was re-timed where at least this share of its notes is played at another time. */
const RETIMED_SHARE = 0.1;
/** Fewer notes than this tell nothing, and fewer than that no spread that could be compared. */
const FEWEST_NOTES = 6;
const FEWEST_FOR_SPREAD = 12;
/** What a file's grid alone may add to a spread. */
const GRID_SECONDS = 0.004;
/** A hand does not play so close to the grid; ticks at 96 to the quarter spread onsets by 1.5 ms at 120. */
const QUANTISED_SECONDS = 0.0025;
/** Spread from which a part counts as played by hand. */
const PLAYED_SECONDS = 0.006;
/** Two takes of one player differ less than this in spread and in the middle (set on half of the pairs of `take-pairs`). */
const LEAST_SPREAD_RATIO = 1.4;
const LEAST_SHIFT_SECONDS = 0.012;
/**
 * Where every note is played anew the middle itself moves: players to a click are ahead of it by some 10 to 30 ms, by another amount each
 * time (B. H. Repp, Sensorimotor synchronization, Psychonomic Bulletin & Review 12, 2005, from memory).
 */
const LEAST_SHIFT_ANEW_SECONDS = 0.025;
/** Standard errors that a difference must exceed: by chance in about one part of a thousand (normal distribution). */
const STANDARD_ERRORS = 3.3;
/** Standard error of `middleOf`, times spread over the root of the count, of normal numbers: a little above that of the mean, which is 1. */
const MIDDLE_ERROR = 1.05;
/** Standard error of the logarithm of `spreadOf`, times the root of the count: 24 to 200 normal numbers drawn gave 0.80 to 0.82. */
const SPREAD_ERROR = 0.82;
/** Share of the deviations that make the spread: a few wrong matches do not count. */
const INNER_SHARE = 0.95;
/** Mean distance of the inner 95 % of normal numbers of spread 1 from their middle: 2 (phi(0) - phi(1.96)) / 0.95. */
const INNER_DISTANCE = 0.717;

/** Median of numbers that are sorted; 0 of none. */
export function medianOf(sorted: ArrayLike<number>): number {
  const middle = sorted.length >> 1;
  const upper = sorted[middle] ?? 0;
  return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] ?? 0) + upper) / 2;
}

export function ascending(numbers: readonly number[] | Float64Array): Float64Array {
  return new Float64Array(numbers).sort();
}

/** Robust standard deviation: from the mean distance of the inner 95 % from the median. */
export function spreadOf(sorted: Float64Array): number {
  const middle = medianOf(sorted);
  const count = Math.min(sorted.length, Math.max(1, Math.ceil(INNER_SHARE * sorted.length)));
  let from = 0;
  let to = sorted.length - 1;
  let sum = 0;
  // The farthest from the middle stand at either end.
  while (to - from + 1 > count) {
    if (middle - (sorted[from] ?? 0) > (sorted[to] ?? 0) - middle) from++;
    else to--;
  }
  for (let at = from; at <= to; at++) sum += Math.abs((sorted[at] ?? 0) - middle);
  return sum / Math.max(1, count) / INNER_DISTANCE;
}

/** Mean without the lowest and the highest tenth. A median would jump where small distances were left out. */
export function middleOf(sorted: Float64Array): number {
  const outer = Math.floor(sorted.length / 10);
  let sum = 0;
  for (let at = outer; at < sorted.length - outer; at++) sum += sorted[at] ?? 0;
  return sum / Math.max(1, sorted.length - 2 * outer);
}

/** Seconds by which notes are played after their written places, before and now. */
interface Deviations {
  readonly before: Float64Array;
  readonly after: Float64Array;
}

/** Of all notes, or those at `places`, that are written where they were. */
function deviationsOf(
  kept: KeptNotes,
  places: readonly number[] | undefined,
  pace: (bar: number) => number,
): Deviations {
  const own = places?.length ?? kept.after.length;
  const same = places === undefined ? kept.same() : [];
  const [restruck, restruckAfter] = places === undefined ? kept.restruck.pairs() : [[], []];
  const most = own + same.length + restruck.length;
  const olds = new Float64Array(most);
  const news = new Float64Array(most);
  let count = 0;
  const add = (before: BarNote | undefined, after: BarNote | undefined): void => {
    if (before?.playedOnset === undefined || after?.playedOnset === undefined) return;
    if (Math.abs(before.start - after.start) > 1e-6) return;
    const seconds = pace(after.bar);
    olds[count] = (before.playedOnset - before.onset / DIVISIONS_PER_QUARTER) * seconds;
    news[count++] = (after.playedOnset - after.onset / DIVISIONS_PER_QUARTER) * seconds;
  };
  for (let at = 0; at < own; at++) {
    const place = places === undefined ? at : (places[at] ?? -1);
    add(kept.before[place], kept.after[place]);
  }
  for (let at = 0; at < same.length; at++) add(same[at], same[at]);
  for (let at = 0; at < restruck.length; at++) add(restruck[at], restruckAfter[at]);
  return { before: olds.subarray(0, count), after: news.subarray(0, count) };
}

/** Places of the notes that are played clearly elsewhere in time than before. */
export const playedApart = onceEach(({ laterSeconds }: KeptNotes): readonly number[] => {
  const apart: number[] = [];
  for (let place = 0; place < laterSeconds.length; place++) {
    if (Math.abs(laterSeconds[place] ?? 0) >= PLAYED_APART_SECONDS) apart.push(place);
  }
  return apart;
});

/** By how much notes are played later, ascending; those without a performance are left out. */
export const sortedLater = onceEach(({ laterSeconds }: KeptNotes): Float64Array => {
  const sorted = Float64Array.from(laterSeconds).sort();
  // Sorted, what is no number stands last.
  let end = sorted.length;
  while (end > 0 && Number.isNaN(sorted[end - 1])) end--;
  return sorted.subarray(0, end);
});

/** The first place in numbers that are sorted at which one is as great as a limit. */
export function firstFrom(sorted: Float64Array, limit: number): number {
  let [low, high] = [0, sorted.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((sorted[middle] ?? Infinity) < limit) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Of numbers that are sorted those that are as far from 0 as a limit. */
function farFromZero(sorted: Float64Array, limit: number): Float64Array {
  let below = firstFrom(sorted, -limit);
  while (below < sorted.length && (sorted[below] ?? Infinity) <= -limit) below++;
  const above = sorted.subarray(firstFrom(sorted, limit));
  const found = new Float64Array(below + above.length);
  found.set(sorted.subarray(0, below));
  found.set(above, below);
  return found;
}

/** True where most notes are played elsewhere in time, each by another amount: a new take, not the old one moved or exported anew. */
export const isPlayedAnew = onceEach((kept: KeptNotes): boolean => {
  const apart = playedApart(kept);
  return (
    apart.length >= countOf(kept) / 2 &&
    spreadOf(farFromZero(sortedLater(kept), PLAYED_APART_SECONDS)) >= PLAYED_APART_SECONDS
  );
});

function shiftIn({ before, after }: Deviations, leastSeconds: number): PartTiming | undefined {
  const later = ascending(after.map((place, index) => place - (before[index] ?? 0)));
  const seconds = middleOf(later);
  // Of few notes the spread itself is not known well.
  const error = (MIDDLE_ERROR * spreadOf(later) * (1 + 4 / later.length)) / Math.sqrt(later.length);
  if (Math.abs(seconds) < Math.max(leastSeconds, STANDARD_ERRORS * error)) return undefined;
  return { how: seconds < 0 ? 'earlier' : 'later', milliseconds: 1000 * Math.abs(seconds) };
}

function spreadIn({ before, after }: Deviations): PartTiming | undefined {
  const old = spreadOf(ascending(before));
  const fresh = spreadOf(ascending(after));
  const spreads = { millisecondsBefore: 1000 * old, milliseconds: 1000 * fresh };
  if (fresh <= QUANTISED_SECONDS && old >= PLAYED_SECONDS) return { how: 'quantised', ...spreads };
  const change = Math.log(Math.hypot(fresh, GRID_SECONDS) / Math.hypot(old, GRID_SECONDS));
  const error = SPREAD_ERROR * Math.sqrt(2 / after.length);
  const isFromGrid = old <= QUANTISED_SECONDS && fresh >= PLAYED_SECONDS;
  if (!isFromGrid && after.length < FEWEST_FOR_SPREAD) return undefined;
  if (!isFromGrid && Math.abs(change) < Math.max(Math.log(LEAST_SPREAD_RATIO), STANDARD_ERRORS * error)) {
    return undefined;
  }
  return { how: change < 0 ? 'closer' : 'freer', ...spreads };
}

/**
 * What was done to the timing of a part whose written music stayed, from all its notes together; undefined where nothing was done that a
 * new take or export does not do. `pace` is seconds to the quarter by bar of the later stage.
 */
export function timingOf(kept: KeptNotes, pace: (bar: number) => number): PartTiming | undefined {
  const apart = playedApart(kept);
  const count = countOf(kept);
  if (apart.length < RETIMED_SHARE * count) return undefined;
  // Where a passage was re-timed the rest of the part says nothing of it.
  const deviations = deviationsOf(kept, apart.length < count / 2 ? apart : undefined, pace);
  if (deviations.after.length < FEWEST_NOTES) return undefined;
  const spread = spreadIn(deviations);
  if (spread?.how === 'quantised') return spread;
  return shiftIn(deviations, isPlayedAnew(kept) ? LEAST_SHIFT_ANEW_SECONDS : LEAST_SHIFT_SECONDS) ?? spread;
}

/** Farther than rounding in the file moves a note. */
const MOVED_SECONDS = 0.0005;

/**
 * Indices of the bars that were quantised: from the first to the last in which notes that stayed were put on the grid, with what lies
 * between where it is silent or on the grid too. A bar that is played beside the grid is none, and parts the run.
 */
export function quantisedBars(
  kept: KeptNotes,
  after: NotesByBar,
  pace: (bar: number) => number,
  barCount: number,
): readonly number[] {
  const isOnGrid = (bar: number): boolean =>
    after
      .in(bar)
      .every(
        ({ onset, playedOnset }) =>
          playedOnset !== undefined &&
          Math.abs(playedOnset - onset / DIVISIONS_PER_QUARTER) * pace(bar) <= QUANTISED_SECONDS,
      );
  const moved = new Set<number>();
  kept.laterSeconds.forEach((seconds, place) => {
    const bar = kept.after[place]?.bar;
    if (bar !== undefined && Math.abs(seconds) >= MOVED_SECONDS) moved.add(bar);
  });
  const found: number[] = [];
  let between: number[] = [];
  for (let bar = 0; bar < barCount; bar++) {
    if (!isOnGrid(bar)) between = [];
    else if (moved.has(bar)) {
      if (found.length > 0 && found.at(-1) === bar - 1 - between.length) found.push(...between);
      found.push(bar);
      between = [];
    } else between.push(bar);
  }
  const [first] = found;
  const last = found.at(-1);
  if (first === undefined || last === undefined) return [];
  // What was on the grid before, from where the part begins and to where it ends, is not told as left out.
  const own = countedBars(after.counts);
  const [begin = first, end = last] = [own[0], own.at(-1)];
  const run = (from: number, to: number): readonly number[] => {
    const bars = Array.from({ length: Math.max(0, to - from + 1) }, (_, place) => from + place);
    return bars.every(isOnGrid) ? bars : [];
  };
  return [...run(begin, first - 1), ...found, ...run(last + 1, end)];
}

/** Of all parts that both stages have, this share moved alike where the file as a whole begins earlier or later. */
const WHOLE_FILE = 0.8;
/** So few parts cannot tell the file from the players. */
const FEWEST_PARTS = 3;
const ALIKE_MILLISECONDS = 8;

/** Leaves out what all parts have in common: an export that begins a little later re-times nobody. */
export function withoutFileShift(edits: readonly PartEdit[], partCount: number): readonly PartEdit[] {
  const signed = (edit: PartEdit): number | undefined =>
    edit.timing?.how === 'later'
      ? edit.timing.milliseconds
      : edit.timing?.how === 'earlier'
        ? -edit.timing.milliseconds
        : undefined;
  const middle = median(edits.flatMap((edit) => signed(edit) ?? []));
  if (middle === undefined) return edits;
  const isAlike = (edit: PartEdit): boolean => Math.abs((signed(edit) ?? Infinity) - middle) <= ALIKE_MILLISECONDS;
  const alike = edits.filter(isAlike).length;
  if (alike < Math.max(FEWEST_PARTS, WHOLE_FILE * partCount)) return edits;
  return edits.filter((edit) => !isAlike(edit));
}
