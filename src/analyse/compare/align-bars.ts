/**
 * Which bar of one stage is which of another. Global alignment by dynamic programming (Needleman and Wunsch 1970) with the
 * likeness of two bars as their score and a price for every bar left over; what is left over on both sides and alike has
 * been moved.
 */
import { barSimilarity, likenessRows, type BarContent, type LikenessRow } from './bar-content.ts';

/** Price of a bar without partner: two bars that share nothing are still one rewritten bar and not a cut and an insertion. */
const GAP = -0.3;
/** The path may leave the diagonal by this many bars beyond the difference in length, so that time grows with length only. */
const BAND_BARS = 64;
const MOST_CELLS = 8_000_000;
/** A bar counts as moved where at least this much of it is found again. */
const ALIKE = 0.6;
const MOST_MOVED_CELLS = 1_000_000;

export interface MovedBars {
  readonly before: number;
  readonly after: number;
  readonly count: number;
}

/** All indices, none bar numbers. */
export interface BarAlignment {
  /** For each bar of the earlier stage its place in the later one; -1 where it was cut. */
  readonly afterOf: readonly number[];
  /** For each bar of the later stage its place in the earlier one; -1 where it is new. */
  readonly beforeOf: readonly number[];
  readonly moved: readonly MovedBars[];
}

const MATCH = 1;
const SKIP_ONE = 2;
const SKIP_OTHER = 3;

/** Pairs of indices in ascending order, of `count` and `otherCount` bars that begin at `head` in both. */
function alignSpan(
  head: number,
  count: number,
  otherCount: number,
  likeness: LikenessRow,
): readonly (readonly [number, number])[] {
  if (count === 0 || otherCount === 0) return [];
  const reach = Math.abs(count - otherCount) + BAND_BARS;
  const width = Math.min(2 * reach + 1, 2 * otherCount + 1);
  if ((count + 1) * width > MOST_CELLS) {
    return Array.from({ length: Math.min(count, otherCount) }, (_, index) => [index, index] as const);
  }
  const first = (row: number): number => Math.max(0, row - reach);
  const last = (row: number): number => Math.min(otherCount, row + reach);
  const steps: Uint8Array[] = [];
  let previous = new Float64Array(0);
  for (let row = 0; row <= count; row++) {
    const from = first(row);
    const scores = new Float64Array(last(row) - from + 1);
    const step = new Uint8Array(scores.length);
    const previousFrom = first(row - 1);
    const alike = likeness(head + row - 1);
    for (let column = from; column <= last(row); column++) {
      if (row === 0 && column === 0) continue;
      const above = row > 0 ? (previous[column - previousFrom] ?? -Infinity) : -Infinity;
      const diagonal =
        row > 0 && column > previousFrom ? (previous[column - 1 - previousFrom] ?? -Infinity) : -Infinity;
      const left = column > from ? (scores[column - 1 - from] ?? -Infinity) : -Infinity;
      let best = diagonal === -Infinity ? -Infinity : diagonal + (alike[head + column - 1] ?? 0);
      let taken = MATCH;
      if (above + GAP > best + 1e-9) {
        best = above + GAP;
        taken = SKIP_ONE;
      }
      if (left + GAP > best + 1e-9) {
        best = left + GAP;
        taken = SKIP_OTHER;
      }
      scores[column - from] = best;
      step[column - from] = taken;
    }
    steps.push(step);
    previous = scores;
  }
  const pairs: (readonly [number, number])[] = [];
  for (let row = count, column = otherCount; row > 0 && column > 0;) {
    const taken = steps[row]?.[column - first(row)] ?? MATCH;
    if (taken === MATCH) pairs.push([row - 1, column - 1]);
    if (taken !== SKIP_OTHER) row--;
    if (taken !== SKIP_ONE) column--;
  }
  return pairs.reverse();
}

/** The same whichever of two stages comes first: the longer one, and of equally long ones the one with the greater content. */
function comesSecond(one: readonly BarContent[], other: readonly BarContent[]): boolean {
  if (one.length !== other.length) return one.length < other.length;
  for (let bar = 0; bar < one.length; bar++) {
    const codes = one[bar]?.all ?? [];
    const otherCodes = other[bar]?.all ?? [];
    if (codes.length !== otherCodes.length) return codes.length < otherCodes.length;
    const place = codes.findIndex((code, index) => code !== otherCodes[index]);
    if (place >= 0) return (codes[place] ?? 0) < (otherCodes[place] ?? 0);
  }
  return false;
}

/** Aligns two stages by the content of their bars. */
export function alignBars(before: readonly BarContent[], after: readonly BarContent[]): BarAlignment {
  if (comesSecond(before, after)) {
    const mirrored = alignBars(after, before);
    return {
      afterOf: mirrored.beforeOf,
      beforeOf: mirrored.afterOf,
      moved: mirrored.moved
        .map((run) => ({ before: run.after, after: run.before, count: run.count }))
        .sort((a, b) => a.after - b.after),
    };
  }
  const likeness = (one: number, other: number): number => barSimilarity(before[one], after[other]);
  const shorter = Math.min(before.length, after.length);
  let head = 0;
  while (head < shorter && likeness(head, head) === 1) head++;
  let tail = 0;
  while (tail < shorter - head && likeness(before.length - 1 - tail, after.length - 1 - tail) === 1) tail++;
  const afterOf = before.map((_, bar) =>
    bar < head ? bar : bar >= before.length - tail ? bar - before.length + after.length : -1,
  );
  const rows = likenessRows(before, after);
  const middle = alignSpan(head, before.length - head - tail, after.length - head - tail, rows);
  for (const [one, other] of middle) afterOf[head + one] = head + other;
  const beforeOf = after.map(() => -1);
  afterOf.forEach((bar, index) => {
    if (bar >= 0) beforeOf[bar] = index;
  });
  const moved = movedRuns(afterOf, beforeOf, rows, (bar) => (before[bar]?.all.length ?? 0) > 0);
  for (const run of moved) {
    for (let bar = 0; bar < run.count; bar++) {
      afterOf[run.before + bar] = run.after + bar;
      beforeOf[run.after + bar] = run.before + bar;
    }
  }
  return { afterOf, beforeOf, moved };
}

/** Runs of bars that are left over in both stages and alike, the longest first where they compete; ascending by place. */
function movedRuns(
  afterOf: readonly number[],
  beforeOf: readonly number[],
  likeness: LikenessRow,
  hasNotes: (bar: number) => boolean,
): readonly MovedBars[] {
  const free = afterOf.flatMap((bar, index) => (bar < 0 ? [index] : []));
  const freeAfter = beforeOf.flatMap((bar, index) => (bar < 0 ? [index] : []));
  if (free.length * freeAfter.length > MOST_MOVED_CELLS) return [];
  const isFree = new Set(free);
  const isFreeAfter = new Set(freeAfter);
  const alike = new Set<number>();
  const key = (one: number, other: number): number => one * (beforeOf.length + 1) + other;
  for (const one of free) {
    const row = likeness(one);
    for (const other of freeAfter) if ((row[other] ?? 0) >= ALIKE) alike.add(key(one, other));
  }
  const runAt = (one: number, other: number): number => {
    let count = 0;
    while (isFree.has(one + count) && isFreeAfter.has(other + count) && alike.has(key(one + count, other + count)))
      count++;
    return count;
  };
  const candidates: MovedBars[] = [];
  for (const one of free) {
    for (const other of freeAfter) {
      if (!hasNotes(one) || (isFree.has(one - 1) && isFreeAfter.has(other - 1) && alike.has(key(one - 1, other - 1))))
        continue;
      const count = runAt(one, other);
      if (count > 0) candidates.push({ before: one, after: other, count });
    }
  }
  candidates.sort((a, b) => b.count - a.count || a.before - b.before || a.after - b.after);
  const moved: MovedBars[] = [];
  for (const candidate of candidates) {
    const count = runAt(candidate.before, candidate.after);
    if (count === 0) continue;
    for (let bar = 0; bar < count; bar++) {
      isFree.delete(candidate.before + bar);
      isFreeAfter.delete(candidate.after + bar);
    }
    moved.push({ ...candidate, count });
  }
  return moved.sort((a, b) => a.after - b.after);
}
