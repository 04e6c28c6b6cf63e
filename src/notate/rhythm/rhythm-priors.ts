/** How dear each kind of subdivision is, before anything is known and after a first reading of the music. */
import type { Rhythm } from './subdivisions.ts';
import { SUBDIVISION_KINDS } from './subdivisions.ts';

export interface Priors {
  /** By kind of subdivision, within its family. */
  readonly costs: readonly number[];
  /** Of changing from straight values to triplets. */
  readonly enter: number;
}

export const FIRST_PRIORS: Priors = { costs: SUBDIVISION_KINDS.map((kind) => kind.cost), enter: 3.6 };
const LEAST_ENTER = 2;
const MOST_ENTER = 5.5;

/** How dear each kind of subdivision is, given how often a first reading used it: a piece without triplets rarely has just one. */
export function learnedPriors(counts: readonly number[]): Priors {
  const shares: number[] = SUBDIVISION_KINDS.map(() => 0);
  const sums = { straight: 10, triplet: 2, fine: 0 };
  for (const family of ['straight', 'triplet', 'fine'] as const) {
    // Fine values are set against straight ones.
    const among = (other: Rhythm): boolean => other === family || (family === 'fine' && other === 'straight');
    const weights = SUBDIVISION_KINDS.map((kind) => (among(kind.family) ? Math.exp(-kind.cost) : 0));
    const whole = weights.reduce((sum, weight) => sum + weight, 0);
    for (const [index, kind] of SUBDIVISION_KINDS.entries()) {
      if (kind.family !== family) continue;
      sums[family] += counts[index] ?? 0;
      shares[index] = (counts[index] ?? 0) + (10 * (weights[index] ?? 0)) / whole;
    }
  }
  const most = { straight: 0, triplet: 0, fine: 0 };
  for (const [index, kind] of SUBDIVISION_KINDS.entries()) {
    most[kind.family] = Math.max(most[kind.family], shares[index] ?? 0);
  }
  most.fine = most.straight;
  const costs = SUBDIVISION_KINDS.map((kind, index) =>
    Math.min(kind.cost + 3, Math.max(0, 0.9 * Math.log(most[kind.family] / (shares[index] ?? 1)) + 0.3 * kind.cost)),
  );
  const enter = 1.5 + 0.9 * Math.log(sums.straight / sums.triplet);
  return { costs, enter: Math.min(MOST_ENTER, Math.max(LEAST_ENTER, enter)) };
}
