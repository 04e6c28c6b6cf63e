/**
 * The manners in which a written value is played, and how likely a played length is in each. A dot halves a value, ordinary detached notes
 * sound for a half to three quarters of it or more (C. P. E. Bach, Versuch I, 1753; D. G. Türk, Klavierschule, 1789; both from memory); means
 * and spreads are ours, set on the tuning half.
 */

/** How long a note was played beside the whole of a value. */
export interface Measure {
  readonly heldMs: number;
  readonly lengthMs: number;
}

/** Joined, parted by some time, detached by a share (the least first), short, exact, anyhow. */
export const MANNERS = 9;
const DETACHED = 2;
export const SHORT = 6;
export type Shares = readonly number[];

/** How the detached notes are spread over the kinds of detached playing. */
const DETACHED_SHARES: readonly number[] = [0.35, 0.35, 0.2, 0.1];

/** Shares of the manners before anything is known (ours, set on the folders and scores of the tuning half). */
function sharesOf(
  first: Readonly<Record<'joined' | 'parted' | 'detached' | 'short' | 'exact' | 'anyhow', number>>,
): Shares {
  const list = [
    first.joined,
    first.parted,
    ...DETACHED_SHARES.map((share) => share * first.detached),
    first.short,
    first.exact,
    first.anyhow,
  ];
  const all = list.reduce((sum, one) => sum + one, 0);
  return list.map((one) => one / all);
}

export const BEFORE_A_NOTE = sharesOf({
  joined: 0.3,
  parted: 0.2,
  detached: 0.5,
  short: 0.3,
  exact: 0.01,
  anyhow: 0.04,
});
export const BEFORE_A_REST = sharesOf({
  joined: 0.12,
  parted: 0.35,
  detached: 0.4,
  short: 0.3,
  exact: 0.01,
  anyhow: 0.04,
});
/** A string that was plucked or a drum says little by when it is damped. */
export const STRUCK_BEFORE_A_NOTE = sharesOf({
  joined: 0.15,
  parted: 0.25,
  detached: 0.25,
  short: 0.1,
  exact: 0.01,
  anyhow: 0.24,
});
const JOINED_MS = 30;
const PARTED_MS = 70;
const PARTED_SPREAD_MS = 35;
const SHORT_SHARE = 0.5;
const SHORT_SPREAD = 0.045;
const EXACT_SPREAD_MS = 3;
const HALF_LAW = Math.sqrt(2 * Math.PI);

/** Farther off than so many spreads nothing is left of a density. */
const FAR = 9;

function normal(off: number, spread: number): number {
  const steps = off / spread;
  if (steps > FAR || steps < -FAR) return 0;
  return Math.exp(-0.5 * steps * steps) / (spread * HALF_LAW);
}

/** The kinds of detached playing: mean and spread of the share of the value that is played, from the least detached on. */
const DETACHED_KINDS: readonly (readonly [mean: number, spread: number])[] = [
  [0.99, 0.045],
  [0.885, 0.045],
  [0.77, 0.05],
  [0.63, 0.06],
];

/** Adds `weight` of the densities a millisecond of playing a value so, by manner. */
export function addDensities(
  { heldMs, lengthMs }: Measure,
  canBeShort: boolean,
  weight: number,
  into: Float64Array,
  at: number,
): void {
  const ratio = heldMs / lengthMs;
  const gapMs = lengthMs - heldMs;
  const perMs = weight / lengthMs;
  into[at] = (into[at] as number) + weight * normal(gapMs, JOINED_MS);
  into[at + 1] = (into[at + 1] as number) + weight * normal(gapMs - PARTED_MS, PARTED_SPREAD_MS);
  for (let kind = 0; kind < DETACHED_KINDS.length; kind++) {
    const [mean, spread] = DETACHED_KINDS[kind] as (typeof DETACHED_KINDS)[number];
    into[at + DETACHED + kind] = (into[at + DETACHED + kind] as number) + perMs * normal(ratio - mean, spread);
  }
  if (canBeShort) into[at + SHORT] = (into[at + SHORT] as number) + perMs * normal(ratio - SHORT_SHARE, SHORT_SPREAD);
  into[at + SHORT + 1] = (into[at + SHORT + 1] as number) + weight * normal(gapMs, EXACT_SPREAD_MS);
  into[at + SHORT + 2] = (into[at + SHORT + 2] as number) + perMs * (ratio < 1.3 ? 1 / 1.3 : 1e-4);
}
