/** Global alignment of two rows of bars by dynamic programming (Needleman and Wunsch 1970). */
import type { LikenessRow } from './bar-likeness.ts';

/** Price of a bar without partner: two bars that share nothing are still one rewritten bar and not a cut and an insertion. */
export const GAP = -0.3;
/** The path may leave the diagonal by this many bars beyond the difference in length, so that time grows with length only. */
const BAND_BARS = 64;
const MOST_CELLS = 8_000_000;

const MATCH = 1;
const SKIP_ONE = 2;
const SKIP_OTHER = 3;

/** Pairs of some bars of both stages, given by index, in ascending order. */
export function alignSpan(
  some: readonly number[],
  others: readonly number[],
  likeness: LikenessRow,
): readonly (readonly [number, number])[] {
  const count = some.length;
  const otherCount = others.length;
  if (count === 0 || otherCount === 0) return [];
  const reach = Math.abs(count - otherCount) + BAND_BARS;
  const width = Math.min(2 * reach + 1, 2 * otherCount + 1);
  if ((count + 1) * width > MOST_CELLS) {
    return Array.from(
      { length: Math.min(count, otherCount) },
      (_, index) => [some[index] ?? 0, others[index] ?? 0] as const,
    );
  }
  const first = (row: number): number => Math.max(0, row - reach);
  const last = (row: number): number => Math.min(otherCount, row + reach);
  const steps: Uint8Array[] = [];
  let previous = new Float64Array(0);
  for (let row = 0; row <= count; row++) {
    const from = first(row);
    const end = last(row);
    const scores = new Float64Array(end - from + 1);
    const step = new Uint8Array(scores.length);
    const previousFrom = first(row - 1);
    const alike = likeness(some[row - 1] ?? -1);
    let left = -Infinity;
    for (let column = from; column <= end; column++) {
      let best = 0;
      if (row > 0 || column > 0) {
        const above = row > 0 ? (previous[column - previousFrom] ?? -Infinity) : -Infinity;
        const diagonal =
          row > 0 && column > previousFrom ? (previous[column - 1 - previousFrom] ?? -Infinity) : -Infinity;
        best = diagonal === -Infinity ? -Infinity : diagonal + (alike[others[column - 1] ?? -1] ?? 0);
        let taken = MATCH;
        if (above + GAP > best + 1e-9) {
          best = above + GAP;
          taken = SKIP_ONE;
        }
        if (left + GAP > best + 1e-9) {
          best = left + GAP;
          taken = SKIP_OTHER;
        }
        step[column - from] = taken;
      }
      scores[column - from] = left = best;
    }
    steps.push(step);
    previous = scores;
  }
  const pairs: (readonly [number, number])[] = [];
  for (let row = count, column = otherCount; row > 0 && column > 0;) {
    const taken = steps[row]?.[column - first(row)] ?? MATCH;
    if (taken === MATCH) pairs.push([some[row - 1] ?? 0, others[column - 1] ?? 0]);
    if (taken !== SKIP_OTHER) row--;
    if (taken !== SKIP_ONE) column--;
  }
  return pairs.reverse();
}
