/** What sounds together, as pitch classes by part: the texture as the search for displaced parts reads it. */

/** Pitch classes that sound from a place on, by part. */
export interface Moment {
  readonly startQuarters: number;
  readonly endQuarters: number;
  readonly classes: readonly (readonly [partIndex: number, pitchClass: number, leads: boolean])[];
}

/** First moment that ends after a place. */
export function firstAfter(moments: readonly Moment[], quarters: number): number {
  let low = 0;
  let high = moments.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((moments[middle]?.endQuarters ?? 0) > quarters + 1e-6) high = middle;
    else low = middle + 1;
  }
  return low;
}
