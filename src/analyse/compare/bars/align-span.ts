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

/** A row of scores and the steps that led to them; the places of a row from its start on, `width` of them. */
interface Rows {
  readonly scores: Float64Array;
  readonly steps: Uint8Array;
}

function fillFirst({ scores, steps }: Rows, width: number): void {
  scores[0] = 0;
  steps[0] = SKIP_OTHER;
  for (let column = 1; column < width; column++) {
    scores[column] = (scores[column - 1] ?? 0) + GAP;
    steps[column] = SKIP_OTHER;
  }
}

/**
 * Scores of a row from those of the one before it, which has `previousWidth` columns and whose first stands `shift` columns farther left; `alike`:
 * likeness to each of the others, the first of which belongs to column 1; `from`: its first column. The steps taken are written behind `start`.
 */
function fillRow(
  previous: Float64Array,
  previousWidth: number,
  shift: number,
  alike: Float64Array,
  from: number,
  { scores, steps }: Rows,
  start: number,
  width: number,
): void {
  let left = -Infinity;
  for (let at = 0; at < width; at++) {
    const above = at + shift < previousWidth ? (previous[at + shift] ?? 0) : -Infinity;
    let best = at + shift > 0 ? (previous[at + shift - 1] ?? 0) + (alike[from + at - 1] ?? 0) : -Infinity;
    let taken = MATCH;
    if (above + GAP > best + 1e-9) {
      best = above + GAP;
      taken = SKIP_ONE;
    }
    if (left + GAP > best + 1e-9) {
      best = left + GAP;
      taken = SKIP_OTHER;
    }
    steps[start + at] = taken;
    scores[at] = left = best;
  }
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
  const steps = new Uint8Array((count + 1) * (width + 1));
  let scores = new Float64Array(width + 1);
  let previous = new Float64Array(width + 1);
  fillFirst({ scores, steps }, last(0) + 1);
  const isRun = (others.at(-1) ?? 0) - (others[0] ?? 0) === otherCount - 1;
  for (let row = 1; row <= count; row++) {
    const likeRow = likeness(some[row - 1] ?? -1);
    const alike = isRun ? likeRow.subarray(others[0]) : Float64Array.from(others, (other) => likeRow[other] ?? 0);
    const from = first(row);
    const previousFrom = first(row - 1);
    [previous, scores] = [scores, previous];
    fillRow(
      previous,
      last(row - 1) - previousFrom + 1,
      from - previousFrom,
      alike,
      from,
      { scores, steps },
      row * (width + 1),
      last(row) - from + 1,
    );
  }
  const pairs: (readonly [number, number])[] = [];
  for (let row = count, column = otherCount; row > 0 && column > 0;) {
    const taken = steps[row * (width + 1) + column - first(row)] ?? MATCH;
    if (taken === MATCH) pairs.push([some[row - 1] ?? 0, others[column - 1] ?? 0]);
    if (taken !== SKIP_OTHER) row--;
    if (taken !== SKIP_ONE) column--;
  }
  return pairs.reverse();
}
