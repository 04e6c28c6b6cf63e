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

/** Squared distance of the cells `from`..`to` from the line that has `start` one cell before `from` and `end` at `to`. */
function lineDistance(sums: Sums, from: number, to: number, start: number, end: number): number {
  const slope = (end - start) / (to - from + 1);
  const base = start - slope * (from - 1);
  const [count, value, square, place, placeSquare, product] = [
    sums.count,
    sums.value,
    sums.square,
    sums.place,
    sums.placeSquare,
    sums.product,
  ].map((list) => between(list, from, to)) as [number, number, number, number, number, number];
  return (
    square -
    2 * (base * value + slope * product) +
    base * base * count +
    2 * base * slope * place +
    slope * slope * placeSquare
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
      for (let length = SHORTEST_HAIRPIN; length <= cell; length++) {
        const start = costs[cell - length];
        if (start === undefined || between(barsUntil, cell - length, cell - 1) > LONGEST_HAIRPIN_BARS) break;
        for (const from of all) {
          const least = (start[from] ?? 0) + HAIRPIN_COST;
          if (from === level || least >= cost) continue;
          const total = least + DISTANCE_COST * lineDistance(sums, cell - length + 1, cell, from, level);
          if (total < cost) {
            cost = total;
            move = { kind: 'ramp', length, level: from };
          }
        }
      }
      own.push(cost);
      ownMoves.push(move);
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
