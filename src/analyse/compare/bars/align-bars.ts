/**
 * Which bar of one stage is which of another. Global alignment by dynamic programming (Needleman and Wunsch 1970) with the
 * likeness of two bars as their score and a price for every bar left over; what is left over on both sides and alike has
 * been moved.
 */
import { alignSpan, GAP } from './align-span.ts';
import { MOST_MOVED_CELLS, runsAlike, type Likeness, type MovedBars } from './alike-runs.ts';
import type { BarContent, MovedContents } from './bar-content.ts';
import { slidBehind, slidToEnd } from './slide-to-end.ts';
import {
  areEqual,
  greatestRows,
  isSameBar,
  likenessRows,
  movedSide,
  sideOf,
  type LikenessRow,
} from './bar-likeness.ts';

/** A bar counts as moved where at least this much of it is found again. */
const ALIKE = 0.6;
/** Bars that make a tile: the same but for a note or two; a single one is found again too easily. */
const SAME = 0.9;
const SHORTEST_TILE = 2;
/** In bars that are the same: what another order must gain, and what each moved section costs it. */
const LEAST_GAIN = 1;
const MOVE_PRICE = 0.5;

/** All indices, none bar numbers. */
export interface BarAlignment {
  /** For each bar of the earlier stage its place in the later one; -1 where it was cut. */
  readonly afterOf: readonly number[];
  /** For each bar of the later stage its place in the earlier one; -1 where it is new. */
  readonly beforeOf: readonly number[];
  readonly moved: readonly MovedBars[];
}

/** True where the same parts begin the same notes, and there are no others. */
function areSurelyAlike(one: BarContent | undefined, other: BarContent | undefined): boolean {
  return one?.isWhole === true && other?.isWhole === true && areEqual(one.common, other.common);
}

/** The same whichever of two stages comes first: the longer one, and of equally long ones the one with the greater content. */
function comesSecond(one: readonly BarContent[], other: readonly BarContent[]): boolean {
  if (one.length !== other.length) return one.length < other.length;
  for (let bar = 0; bar < one.length; bar++) {
    if (one[bar] === other[bar] || areSurelyAlike(one[bar], other[bar])) continue;
    const codes = one[bar]?.all() ?? [];
    const otherCodes = other[bar]?.all() ?? [];
    if (codes.length !== otherCodes.length) return codes.length < otherCodes.length;
    const place = codes.findIndex((code, index) => code !== otherCodes[index]);
    if (place >= 0) return (codes[place] ?? 0) < (otherCodes[place] ?? 0);
  }
  return false;
}

/**
 * Aligns two stages by the content of their bars. `moved` are the contents of the earlier stage at other pitches at which its bars may
 * be found again.
 */
export function alignBars(
  before: readonly BarContent[],
  after: readonly BarContent[],
  moved: readonly MovedContents[] = [],
): BarAlignment {
  const isMirrored = comesSecond(before, after);
  const rows = (): LikenessRow => {
    const later = sideOf(after);
    return greatestRows(
      [sideOf(before), ...moved.map(movedSide)].map((side) =>
        isMirrored ? likenessRows(later, side) : likenessRows(side, later),
      ),
      isMirrored ? after.length : before.length,
    );
  };
  if (!isMirrored) return endsAligned(alignedBy(rows, before, after), before, after);
  const mirrored = alignedBy(rows, after, before);
  const alignment = {
    afterOf: mirrored.beforeOf,
    beforeOf: mirrored.afterOf,
    moved: mirrored.moved
      .map((run) => ({ before: run.after, after: run.before, count: run.count }))
      .sort((a, b) => a.after - b.after),
  };
  return endsAligned(alignment, before, after);
}

/** With an end that is there twice taken for added, and one of two equal ends that went for the last. */
function endsAligned(
  alignment: BarAlignment,
  before: readonly BarContent[],
  after: readonly BarContent[],
): BarAlignment {
  if (alignment.moved.length > 0) return alignment;
  const longer = slidToEnd(slidBehind(alignment, before, after), before, after);
  const shorter = slidToEnd({ afterOf: longer.beforeOf, beforeOf: longer.afterOf }, after, before);
  return { afterOf: shorter.beforeOf, beforeOf: shorter.afterOf, moved: [] };
}

const indices = (from: number, to: number): number[] =>
  Array.from({ length: Math.max(0, to - from) }, (_, at) => from + at);

function alignedBy(
  makeRows: () => LikenessRow,
  before: readonly BarContent[],
  after: readonly BarContent[],
): BarAlignment {
  const shorter = Math.min(before.length, after.length);
  let head = 0;
  while (head < shorter && isSameBar(before[head], after[head])) head++;
  let tail = 0;
  while (tail < shorter - head && isSameBar(before.at(-1 - tail), after.at(-1 - tail))) tail++;
  const afterOf = before.map((_, bar) =>
    bar < head ? bar : bar >= before.length - tail ? bar - before.length + after.length : -1,
  );
  if (head === before.length && head === after.length) return { afterOf, beforeOf: afterOf, moved: [] };
  const rows = makeRows();
  const likeness: Likeness = { rows, hasNotes: (bar) => before[bar]?.isEmpty === false };
  const middle = indices(head, before.length - tail);
  const middleAfter = indices(head, after.length - tail);
  const inOrder = afterOf.slice();
  for (const [one, other] of alignSpan(middle, middleAfter, rows)) inOrder[one] = other;
  const plain = withMoved(inOrder, after.length, likeness);
  const cells = middle.length * middleAfter.length;
  if (cells > MOST_MOVED_CELLS || missingLikeness(plain.afterOf, middle, likeness) < LEAST_GAIN) return plain;
  const tiles = runsAlike(middle, middleAfter, likeness, SAME, SHORTEST_TILE);
  const tiled = withMoved(aroundTiles(tiles, afterOf, middle, middleAfter, rows), after.length, likeness);
  return scoreOf(tiled, middle, rows) > scoreOf(plain, middle, rows) + LEAST_GAIN ? tiled : plain;
}

/** How far the matched bars are from being the same. */
function missingLikeness(afterOf: readonly number[], bars: readonly number[], { rows, hasNotes }: Likeness): number {
  let missing = 0;
  for (const bar of bars) {
    const other = afterOf[bar] ?? -1;
    if (other < 0) missing -= GAP;
    else if (hasNotes(bar)) missing += 1 - (rows(bar)[other] ?? 0);
  }
  return missing;
}

/** Worth of an alignment; only `bars` of the earlier stage are looked at, as the others stand alike in all that are compared. */
function scoreOf({ afterOf, beforeOf, moved }: BarAlignment, bars: readonly number[], rows: LikenessRow): number {
  let score = -MOVE_PRICE * moved.length;
  for (const bar of beforeOf) if (bar < 0) score += GAP;
  for (const bar of bars) {
    const other = afterOf[bar] ?? -1;
    score += other < 0 ? GAP : (rows(bar)[other] ?? 0);
  }
  return score;
}

/** The tiles that stand in the same order in both stages: the chain of the most bars. */
function inOrderTiles(tiles: readonly MovedBars[]): readonly MovedBars[] {
  const sorted = [...tiles].sort((a, b) => a.before - b.before);
  const best: { readonly bars: number; readonly last: number }[] = [];
  sorted.forEach((tile, index) => {
    let [bars, last] = [0, -1];
    for (let other = 0; other < index; other++) {
      const candidate = sorted[other];
      const chain = best[other];
      if (candidate === undefined || chain === undefined || candidate.after >= tile.after) continue;
      if (chain.bars > bars) [bars, last] = [chain.bars, other];
    }
    best.push({ bars: bars + tile.count, last });
  });
  const chain: MovedBars[] = [];
  let at = best.reduce((top, item, index) => (item.bars > (best[top]?.bars ?? 0) ? index : top), 0);
  while (at >= 0) {
    const tile = sorted[at];
    if (tile === undefined) break;
    chain.push(tile);
    at = best[at]?.last ?? -1;
  }
  return chain.reverse();
}

/** Keeps the tiles that are in order, leaves the others to be found as moved, and aligns what lies between. */
function aroundTiles(
  tiles: readonly MovedBars[],
  known: readonly number[],
  middle: readonly number[],
  middleAfter: readonly number[],
  rows: LikenessRow,
): readonly number[] {
  const kept = inOrderTiles(tiles);
  const isKept = new Set(kept);
  const others = tiles.filter((tile) => !isKept.has(tile));
  const covers = (place: 'before' | 'after'): ReadonlySet<number> =>
    new Set(others.flatMap((tile) => indices(tile[place], tile[place] + tile.count)));
  const away = covers('before');
  const awayAfter = covers('after');
  const afterOf = known.slice();
  let [from, fromAfter] = [middle[0] ?? 0, middleAfter[0] ?? 0];
  const end = { before: (middle.at(-1) ?? -1) + 1, after: (middleAfter.at(-1) ?? -1) + 1, count: 0 };
  for (const tile of [...kept, end]) {
    const some = indices(from, tile.before).filter((bar) => !away.has(bar));
    const rest = indices(fromAfter, tile.after).filter((bar) => !awayAfter.has(bar));
    for (const [one, other] of alignSpan(some, rest, rows)) afterOf[one] = other;
    for (let bar = 0; bar < tile.count; bar++) afterOf[tile.before + bar] = tile.after + bar;
    [from, fromAfter] = [tile.before + tile.count, tile.after + tile.count];
  }
  return afterOf;
}

function leftOver(bars: readonly number[]): readonly number[] {
  const left: number[] = [];
  for (let index = 0; index < bars.length; index++) if ((bars[index] ?? 0) < 0) left.push(index);
  return left;
}

/** With bars that are left over in both stages and alike: they were moved. */
function withMoved(found: readonly number[], afterCount: number, likeness: Likeness): BarAlignment {
  const afterOf = found.slice();
  const beforeOf = new Array<number>(afterCount).fill(-1);
  for (let index = 0; index < afterOf.length; index++) {
    const bar = afterOf[index] ?? -1;
    if (bar >= 0) beforeOf[bar] = index;
  }
  const moved = runsAlike(leftOver(afterOf), leftOver(beforeOf), likeness, ALIKE, 1);
  for (const run of moved) {
    for (let bar = 0; bar < run.count; bar++) {
      afterOf[run.before + bar] = run.after + bar;
      beforeOf[run.after + bar] = run.before + bar;
    }
  }
  return { afterOf, beforeOf, moved };
}
