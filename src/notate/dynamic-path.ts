/** Marks for a curve of loudness: plateaus, sudden changes and straight rises and falls, by one search over the curve. */

/** Costs of our own: square of the distance from the mark for a whole bar, what a new mark costs, and what a hairpin costs. */
const DISTANCE_COST = 8;
const NEW_MARK_COST = 8;
const HAIRPIN_COST = 6;
/** A longer change is marked on its way (common practice, no source). */
const LONGEST_HAIRPIN_BARS = 4;
const SHORTEST_HAIRPIN = 2;

/** Levels 0..`levels - 1` from cell to cell. A `ramp` step arrives at its level in a straight line from `from`. */
export type PathStep =
  | { readonly kind: 'mark'; readonly cell: number; readonly level: number }
  | {
      readonly kind: 'ramp';
      readonly from: number;
      readonly cell: number;
      readonly level: number;
      readonly levelBefore: number;
    };

export interface CurvePoint {
  /** On the scale of levels; undefined where nothing is heard. */
  readonly value: number | undefined;
  /** Share of a bar that the cell lasts. */
  readonly bars: number;
}

interface Move {
  readonly kind: 'stay' | 'mark' | 'ramp';
  readonly length: number;
  readonly level: number;
}

/** Running sums that give the squared distance of any stretch of the curve from any straight line, in bars. */
interface Sums {
  readonly count: readonly number[];
  readonly value: readonly number[];
  readonly square: readonly number[];
  readonly place: readonly number[];
  readonly placeSquare: readonly number[];
  readonly product: readonly number[];
}

function running(numbers: readonly number[]): number[] {
  const sums = [0];
  for (const number of numbers) sums.push((sums.at(-1) ?? 0) + number);
  return sums;
}

function sumsOf(curve: readonly CurvePoint[]): Sums {
  const of = (term: (value: number, place: number) => number): number[] =>
    running(curve.map(({ value, bars }, place) => (value === undefined ? 0 : bars * term(value, place))));
  return {
    count: of(() => 1),
    value: of((value) => value),
    square: of((value) => value * value),
    place: of((_, place) => place),
    placeSquare: of((_, place) => place * place),
    product: of((value, place) => value * place),
  };
}

function between(sums: readonly number[], from: number, to: number): number {
  return (sums[to + 1] ?? 0) - (sums[from] ?? 0);
}

/** The sums over the cells `from`..`to`, for one stretch and any number of lines. */
interface Stretch {
  readonly from: number;
  readonly cells: number;
  readonly count: number;
  readonly value: number;
  readonly square: number;
  readonly place: number;
  readonly placeSquare: number;
  readonly product: number;
}

function stretchOf(sums: Sums, from: number, to: number): Stretch {
  return {
    from,
    cells: to - from + 1,
    count: between(sums.count, from, to),
    value: between(sums.value, from, to),
    square: between(sums.square, from, to),
    place: between(sums.place, from, to),
    placeSquare: between(sums.placeSquare, from, to),
    product: between(sums.product, from, to),
  };
}

/** Squared distance of a stretch from the line that has `start` one cell before it and `end` at its last cell. */
function lineDistance(stretch: Stretch, start: number, end: number): number {
  const slope = (end - start) / stretch.cells;
  const base = start - slope * (stretch.from - 1);
  return (
    stretch.square -
    2 * (base * stretch.value + slope * stretch.product) +
    base * base * stretch.count +
    2 * base * slope * stretch.place +
    slope * slope * stretch.placeSquare
  );
}

/**
 * The cheapest way through `curve` over whole levels. The first step is a mark at cell 0;
 * a mark follows wherever the level jumps, a ramp wherever it moves steadily. Empty for an empty curve.
 */
export function dynamicPath(curve: readonly CurvePoint[], levels: number): PathStep[] {
  if (curve.length === 0) return [];
  const sums = sumsOf(curve);
  const barsUntil = running(curve.map(({ bars }) => bars));
  const all = Array.from({ length: levels }, (_, level) => level);
  const costs: number[][] = [];
  const moves: Move[][] = [];
  for (let cell = 0; cell < curve.length; cell++) {
    const { value, bars = 0 } = curve[cell] ?? {};
    const before = costs[cell - 1];
    const cheapest = before === undefined ? 0 : before.indexOf(Math.min(...before));
    const own: number[] = [];
    const ownMoves: Move[] = [];
    for (const level of all) {
      const distance = value === undefined ? 0 : DISTANCE_COST * bars * (value - level) ** 2;
      let cost = before === undefined ? distance : (before[level] ?? 0) + distance;
      let move: Move = { kind: before === undefined ? 'mark' : 'stay', length: 1, level };
      const jump = before === undefined ? Infinity : (before[cheapest] ?? 0) + NEW_MARK_COST + distance;
      if (jump < cost) {
        cost = jump;
        move = { kind: 'mark', length: 1, level: cheapest };
      }
      own.push(cost);
      ownMoves.push(move);
    }
    for (let length = SHORTEST_HAIRPIN; length <= cell; length++) {
      const start = costs[cell - length];
      if (start === undefined || between(barsUntil, cell - length, cell - 1) > LONGEST_HAIRPIN_BARS) break;
      if (Math.min(...start) + HAIRPIN_COST >= Math.max(...own)) continue;
      const stretch = stretchOf(sums, cell - length + 1, cell);
      for (let level = 0; level < levels; level++) {
        for (let from = 0; from < levels; from++) {
          const cost = own[level] ?? Infinity;
          const least = (start[from] ?? 0) + HAIRPIN_COST;
          if (from === level || least >= cost) continue;
          const total = least + DISTANCE_COST * lineDistance(stretch, from, level);
          if (total >= cost) continue;
          own[level] = total;
          ownMoves[level] = { kind: 'ramp', length, level: from };
        }
      }
    }
    costs.push(own);
    moves.push(ownMoves);
  }
  const steps: PathStep[] = [];
  const last = costs.at(-1) ?? [];
  let level = last.indexOf(Math.min(...last));
  for (let cell = curve.length - 1; cell >= 0;) {
    const move = moves[cell]?.[level];
    if (move === undefined) break;
    if (move.kind === 'mark') steps.push({ kind: 'mark', cell, level });
    if (move.kind === 'ramp')
      steps.push({ kind: 'ramp', from: cell - move.length, cell, level, levelBefore: move.level });
    cell -= move.length;
    level = move.level;
  }
  return steps.reverse();
}
