/** Ways into a cell from the cell before: a rhythm is kept, or left for another; only the cheapest of each kind matter. */
import type { OnsetStates } from './onset-candidates.ts';
import type { Subdivision } from './subdivisions.ts';
import { SUBDIVISION_KINDS } from './subdivisions.ts';

const CHANGE_OF_FAMILY = 1.2;
const CHANGE_WITHIN_FAMILY = 0.15;
export const FAMILIES = ['straight', 'triplet', 'fine'] as const;
const KINDS = SUBDIVISION_KINDS.length;

/** Cheapest ways into a cell from the onset before: keeping a kind of rhythm from the next cell or from afar, or coming to a family. */
interface Ways {
  readonly keep: Float64Array;
  readonly keepFrom: Int32Array;
  readonly again: Float64Array;
  readonly againFrom: Int32Array;
  readonly change: Float64Array;
  readonly changeFrom: Int32Array;
}

export function noWays(): Ways {
  return {
    keep: new Float64Array(KINDS),
    keepFrom: new Int32Array(KINDS),
    again: new Float64Array(KINDS),
    againFrom: new Int32Array(KINDS),
    change: new Float64Array(FAMILIES.length),
    changeFrom: new Int32Array(FAMILIES.length),
  };
}

/** Least cost of changing from one kind to another of a family. */
export function changesOf(enterTriplets: number): Float64Array[] {
  return SUBDIVISION_KINDS.map((from) =>
    Float64Array.from(FAMILIES, (to) => {
      if (from.family === to) return CHANGE_WITHIN_FAMILY;
      return to === 'triplet' && from.family === 'straight' ? enterTriplets : CHANGE_OF_FAMILY;
    }),
  );
}

/** Fills `ways` into a cell from the states `from` to `to`; `reached` is their cost, `leaving` that of not keeping a kind. */
export function findWays(
  ways: Ways,
  cell: number,
  {
    states,
    from,
    to,
    reached,
    steps,
    leaving,
    changes,
  }: {
    readonly states: OnsetStates;
    readonly from: number;
    readonly to: number;
    readonly reached: Float64Array;
    readonly steps: readonly Float64Array[];
    readonly leaving: readonly number[];
    readonly changes: readonly Float64Array[];
  },
): void {
  ways.keep.fill(Infinity);
  ways.again.fill(Infinity);
  ways.change.fill(Infinity);
  for (let state = from; state < to; state++) {
    const here = states.cell[state] as number;
    if (here >= cell) continue;
    const { kind, id, slots } = states.subdivision[state] as Subdivision;
    const size = slots.length;
    const exit = steps[id]?.[(states.slot[state] as number) * size + size - 1] ?? 0;
    const cost = (reached[state] as number) + exit;
    const isNext = here === cell - 1;
    const [best, source] = isNext ? [ways.keep, ways.keepFrom] : [ways.again, ways.againFrom];
    if (cost < (best[kind] as number)) {
      best[kind] = cost;
      source[kind] = state;
    }
    const left = cost + (isNext ? (leaving[kind] ?? 0) : 0);
    for (let family = 0; family < FAMILIES.length; family++) {
      const changed = left + (changes[kind]?.[family] ?? 0);
      if (changed < (ways.change[family] as number)) {
        ways.change[family] = changed;
        ways.changeFrom[family] = state;
      }
    }
  }
}
