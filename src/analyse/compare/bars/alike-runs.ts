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
    const row = rows(free[one] ?? 0);
    for (let other = 0; other < countAfter; other++) {
      if ((row[freeAfter[other] ?? 0] ?? 0) >= least) alike[one * countAfter + other] = 1;
    }
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
  for (let one = 0; one < count; one++) {
    const bar = free[one] ?? 0;
    if (!hasNotes(bar)) continue;
    const isNext = one > 0 && free[one - 1] === bar - 1;
    for (let other = 0; other < countAfter; other++) {
      if (alike[one * countAfter + other] === 0) continue;
      const barAfter = freeAfter[other] ?? 0;
      const isNextAfter = other > 0 && freeAfter[other - 1] === barAfter - 1;
      if (isNext && isNextAfter && alike[(one - 1) * countAfter + other - 1] === 1) continue;
      const length = runAt(one, other);
      if (length >= shortest)
        candidates.push({ before: bar, after: barAfter, count: length, place: one, placeAfter: other });
    }
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
