/** What sounds together, as pitch classes by part: the texture as the search for displaced parts reads it. */
import { firstReaching } from '../model/sorted-search.ts';

/** Pitch classes that sound from a place on, by part. */
export interface Moment {
  readonly startQuarters: number;
  readonly endQuarters: number;
  readonly classes: readonly (readonly [partIndex: number, pitchClass: number, leads: boolean])[];
}

/** Index of the first moment that ends after a place. */
export function firstAfter(moments: readonly Moment[], quarters: number): number {
  return firstReaching(moments, ({ endQuarters }) => endQuarters > quarters + 1e-6);
}
