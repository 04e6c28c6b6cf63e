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

function firstRow(width: number): Float64Array {
  const scores = new Float64Array(width);
  for (let column = 1; column < width; column++) scores[column] = (scores[column - 1] ?? 0) + GAP;
  return scores;
}

/**
 * Scores of a row from those of the one before it, whose first column stands `shift` columns farther left; `alike`: likeness to each of the
 * others, the first of which belongs to column 1; `from`: its first column. The steps taken are written into `step`.
 */
function nextRow(
  previous: Float64Array,
  shift: number,
  alike: Float64Array,
  from: number,
  step: Uint8Array,
): Float64Array {
  const scores = new Float64Array(step.length);
  let left = -Infinity;
  for (let at = 0; at < step.length; at++) {
    const above = previous[at + shift] ?? -Infinity;
    let best = at + shift > 0 ? (previous[at + shift - 1] ?? -Infinity) + (alike[from + at - 1] ?? 0) : -Infinity;
    let taken = MATCH;
    if (above + GAP > best + 1e-9) {
      best = above + GAP;
      taken = SKIP_ONE;
    }
    if (left + GAP > best + 1e-9) {
      best = left + GAP;
      taken = SKIP_OTHER;
    }
    step[at] = taken;
    scores[at] = left = best;
  }
  return scores;
}

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
  // A row of its own function: the engine compiles that after some rows, and not the whole after many.
  const steps: Uint8Array[] = [new Uint8Array(last(0) + 1).fill(SKIP_OTHER)];
  let scores = firstRow(last(0) + 1);
  const isRun = (others.at(-1) ?? 0) - (others[0] ?? 0) === otherCount - 1;
  for (let row = 1; row <= count; row++) {
    const likeRow = likeness(some[row - 1] ?? -1);
    const alike = isRun ? likeRow.subarray(others[0]) : Float64Array.from(others, (other) => likeRow[other] ?? 0);
    const from = first(row);
    const step = new Uint8Array(last(row) - from + 1);
    scores = nextRow(scores, from - first(row - 1), alike, from, step);
    steps.push(step);
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
