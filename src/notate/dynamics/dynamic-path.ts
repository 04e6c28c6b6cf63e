/** Marks for a curve of loudness: plateaus, sudden changes and straight rises and falls, by one search over the curve. */

/** Costs of our own: square of the distance from the mark for a whole bar, what a new mark costs, and what a hairpin costs. */
const DISTANCE_COST = 8;
const NEW_MARK_COST = 8;
const HAIRPIN_COST = 6;
/** A longer change is marked on its way (common practice, no source). */
const LONGEST_HAIRPIN_BARS = 4;
const SHORTEST_HAIRPIN = 2;
/** More than the rounding of the running sums can amount to. */
const ROUNDING = 1e-6;

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

/** Squared distance of the cells `from`..`to` from any line, given where it is one cell before `from` and at `to`. */
function lineDistance(sums: Sums, from: number, to: number): (start: number, end: number) => number {
  const count = between(sums.count, from, to);
  const value = between(sums.value, from, to);
  const square = between(sums.square, from, to);
  const place = between(sums.place, from, to);
  const placeSquare = between(sums.placeSquare, from, to);
  const product = between(sums.product, from, to);
  return (start, end) => {
    const slope = (end - start) / (to - from + 1);
    const base = start - slope * (from - 1);
    return (
      square -
      2 * (base * value + slope * product) +
      base * base * count +
      2 * base * slope * place +
      slope * slope * placeSquare
    );
  };
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
  /** The least of the costs of each cell. */
  const leasts: number[] = [];
  const moves: Move[][] = [];
  for (let cell = 0; cell < curve.length; cell++) {
    const { value, bars = 0 } = curve[cell] ?? {};
    const before = costs[cell - 1];
    const cheapest = before === undefined ? 0 : before.indexOf(leasts[cell - 1] ?? 0);
    const own: number[] = [];
    const ownMoves: Move[] = [];
    const distances: number[] = [];
    for (const level of all) {
      const distance = value === undefined ? 0 : DISTANCE_COST * bars * (value - level) ** 2;
      const stay = before === undefined ? distance : (before[level] ?? 0) + distance;
      const jump = before === undefined ? Infinity : (before[cheapest] ?? 0) + NEW_MARK_COST + distance;
      distances.push(distance);
      own.push(Math.min(stay, jump));
      if (jump < stay) ownMoves.push({ kind: 'mark', length: 1, level: cheapest });
      else ownMoves.push({ kind: before === undefined ? 'mark' : 'stay', length: 1, level });
    }
    for (let length = SHORTEST_HAIRPIN; length <= cell; length++) {
      const start = costs[cell - length];
      if (start === undefined || between(barsUntil, cell - length, cell - 1) > LONGEST_HAIRPIN_BARS) break;
      // The sums of a stretch are the same for all levels from which and to which a line may lead.
      let distanceOf: ((from: number, level: number) => number) | undefined;
      for (let level = 0; level < levels; level++) {
        let cost = own[level] ?? 0;
        // A line costs no less than its last cell, which lies at its level.
        const lineLeast = HAIRPIN_COST + (distances[level] ?? 0) - ROUNDING;
        if ((leasts[cell - length] ?? 0) + lineLeast >= cost) continue;
        for (let from = 0; from < levels; from++) {
          const until = start[from] ?? 0;
          if (from === level || until + lineLeast >= cost) continue;
          distanceOf ??= lineDistance(sums, cell - length + 1, cell);
          const total = until + HAIRPIN_COST + DISTANCE_COST * distanceOf(from, level);
          if (total >= cost) continue;
          cost = total;
          ownMoves[level] = { kind: 'ramp', length, level: from };
        }
        own[level] = cost;
      }
    }
    costs.push(own);
    leasts.push(Math.min(...own));
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
