/** What rhythms a reading has found: how often each subdivision, and in it each step from place to place. */
import type { Subdivision } from './subdivisions.ts';
import { SUBDIVISION_KINDS, allSubdivisions } from './subdivisions.ts';

export interface RhythmCounts {
  /** By kind of subdivision. */
  readonly kinds: number[];
  /** By kind: how often the next beat goes on with it, and how often there is a next beat with onsets. */
  readonly kept: number[];
  readonly followed: number[];
  /** By subdivision id: steps from place a to place b at `a * (places + 1) + b`; row `places` is the entry, column `places` the exit. */
  readonly steps: Map<number, Float64Array>;
  /** Onsets written at the place of the one before, and elsewhere. */
  together: number;
  apart: number;
}

export function noCounts(): RhythmCounts {
  const none = (): number[] => SUBDIVISION_KINDS.map(() => 0);
  return { kinds: none(), kept: none(), followed: none(), steps: new Map(), together: 0, apart: 0 };
}

/** Places of a subdivision, the start of the next cell left out. */
export function placesIn(subdivision: Subdivision): number {
  return subdivision.slots.length - 1;
}

export function countStep(counts: RhythmCounts, subdivision: Subdivision, from: number, to: number): void {
  const size = placesIn(subdivision) + 1;
  let table = counts.steps.get(subdivision.id);
  if (table === undefined) {
    table = new Float64Array(size * size);
    counts.steps.set(subdivision.id, table);
  }
  table[from * size + to] = (table[from * size + to] ?? 0) + 1;
}

/** Adds `weight` times the counts of `more` to `sum`. */
export function addCounts(sum: RhythmCounts, more: RhythmCounts, weight: number): void {
  for (const list of ['kinds', 'kept', 'followed'] as const) {
    for (const [kind, count] of more[list].entries()) sum[list][kind] = (sum[list][kind] ?? 0) + weight * count;
  }
  for (const [id, table] of more.steps) {
    const own = sum.steps.get(id) ?? new Float64Array(table.length);
    for (const [at, count] of table.entries()) own[at] = (own[at] ?? 0) + weight * count;
    sum.steps.set(id, own);
  }
  sum.together += weight * more.together;
  sum.apart += weight * more.apart;
}

/** Share of beats that go on like the one before for no other reason, and how many observations that assumption is worth. */
const ASSUMED_KEPT = 0.35;
const ASSUMED_FOLLOWED = 3;

/** By kind: the probability that a rhythm is kept from beat to beat, beside how common it is. */
export function keptShares({ kept, followed }: RhythmCounts): number[] {
  return kept.map(
    (count, kind) => (count + ASSUMED_FOLLOWED * ASSUMED_KEPT) / ((followed[kind] ?? 0) + ASSUMED_FOLLOWED),
  );
}

/** Before anything is known: the next place of the grid, then places of the coarser grid, then the rest. */
const NEXT_PLACE = 1;
const COARSER_PLACE = 0.35;
const OTHER_PLACE = 0.06;
const FIRST_ON_BEAT = 4;
/** How many observations the first assumption is worth. */
const ASSUMED = 3;

function assumedWeight(subdivision: Subdivision, from: number, to: number): number {
  const count = placesIn(subdivision);
  const isEntry = from === count;
  if (isEntry) return to === count ? 0 : to === 0 ? FIRST_ON_BEAT : to === 1 ? 0.6 : 0.4;
  if (to <= from) return 0;
  if (to === from + 1) return NEXT_PLACE;
  const { slots, coarser, family } = subdivision;
  // Three of four is a dotted value; two of three of a fast triplet is hardly ever meant.
  const isDotted = family === 'straight' && to === from + 3 && (slots[from] ?? 0) % (2 * coarser) === 0;
  const isCoarser = family !== 'fine' && (to === count || (slots[to] ?? 0) % coarser === 0);
  return isDotted || isCoarser ? COARSER_PLACE : OTHER_PLACE;
}

/** Costs in nats of every step in every subdivision, by id; same layout as the counts. */
export function stepCosts(counts: RhythmCounts): readonly Float64Array[] {
  return allSubdivisions().map((subdivision) => {
    const size = placesIn(subdivision) + 1;
    const known = counts.steps.get(subdivision.id);
    const costs = new Float64Array(size * size);
    for (let from = 0; from < size; from++) {
      let assumed = 0;
      let seen = 0;
      for (let to = 0; to < size; to++) {
        assumed += assumedWeight(subdivision, from, to);
        seen += known?.[from * size + to] ?? 0;
      }
      for (let to = 0; to < size; to++) {
        const weight = assumedWeight(subdivision, from, to);
        const share =
          ((known?.[from * size + to] ?? 0) + (ASSUMED * weight) / Math.max(1e-9, assumed)) / (seen + ASSUMED);
        costs[from * size + to] = share > 0 ? -Math.log(share) : Infinity;
      }
    }
    return costs;
  });
}
