/** Runs of bars of two stages that are alike, wherever they stand. */
import type { LikenessRow } from './bar-likeness.ts';

/** More pairs of bars are not looked through. */
export const MOST_MOVED_CELLS = 1_000_000;

export interface Likeness {
  readonly rows: LikenessRow;
  /** By index of the earlier stage's bars. */
  readonly hasNotes: (bar: number) => boolean;
}

export interface MovedBars {
  readonly before: number;
  readonly after: number;
  readonly count: number;
}

/** Marks with 1, from a place on, which of the bars are at least so much alike the one that the row is of. */
function markAlike(row: Float64Array, bars: readonly number[], least: number, marks: Uint8Array, from: number): void {
  for (let at = 0; at < bars.length; at++) if ((row[bars[at] ?? 0] ?? 0) >= least) marks[from + at] = 1;
}

/**
 * Runs of bars that are alike in both stages, of the bars given, the longest first where they compete (greedy tiling, Wise 1993);
 * ascending by place in the later stage.
 */
export function runsAlike(
  free: readonly number[],
  freeAfter: readonly number[],
  { rows, hasNotes }: Likeness,
  least: number,
  shortest: number,
): readonly MovedBars[] {
  const count = free.length;
  const countAfter = freeAfter.length;
  if (count === 0 || countAfter === 0 || count * countAfter > MOST_MOVED_CELLS) return [];
  // By places among the free bars, not by bars.
  const alike = new Uint8Array(count * countAfter);
  for (let one = 0; one < count; one++) {
    markAlike(rows(free[one] ?? 0), freeAfter, least, alike, one * countAfter);
  }
  const isTaken = new Uint8Array(count);
  const isTakenAfter = new Uint8Array(countAfter);
  const runAt = (one: number, other: number): number => {
    const bar = free[one] ?? 0;
    const barAfter = freeAfter[other] ?? 0;
    let length = 0;
    while (
      free[one + length] === bar + length &&
      freeAfter[other + length] === barAfter + length &&
      alike[(one + length) * countAfter + other + length] === 1 &&
      isTaken[one + length] === 0 &&
      isTakenAfter[other + length] === 0
    )
      length++;
    return length;
  };
  const candidates: (MovedBars & { readonly place: number; readonly placeAfter: number })[] = [];
  // Few are: the engine itself is quickest to find the next.
  for (let at = alike.indexOf(1); at >= 0; at = alike.indexOf(1, at + 1)) {
    const one = Math.floor(at / countAfter);
    const other = at - one * countAfter;
    const bar = free[one] ?? 0;
    const barAfter = freeAfter[other] ?? 0;
    const isNext = one > 0 && free[one - 1] === bar - 1;
    const isNextAfter = other > 0 && freeAfter[other - 1] === barAfter - 1;
    if (isNext && isNextAfter && alike[at - countAfter - 1] === 1) continue;
    const length = hasNotes(bar) ? runAt(one, other) : 0;
    if (length >= shortest)
      candidates.push({ before: bar, after: barAfter, count: length, place: one, placeAfter: other });
  }
  const distance = ({ before, after }: MovedBars): number => Math.abs(before - after);
  candidates.sort((a, b) => b.count - a.count || distance(a) - distance(b) || a.before - b.before || a.after - b.after);
  const runs: MovedBars[] = [];
  for (const { before, after, place, placeAfter } of candidates) {
    const length = runAt(place, placeAfter);
    if (length < shortest) continue;
    isTaken.fill(1, place, place + length);
    isTakenAfter.fill(1, placeAfter, placeAfter + length);
    runs.push({ before, after, count: length });
  }
  return runs.sort((a, b) => a.after - b.after);
}
