/** Whose level is not counted. */
import type { Part } from '../../model/music/arrangement.ts';

/**
 * True for sound without pitch: drums, cymbals, effects. No sound power is published for it, and a mix of samples follows no instrument: it
 * stays out of the sums, so that nobody is blamed on its account.
 */
export function isLevelLeftOut({ unpitched }: Pick<Part, 'unpitched'>): boolean {
  return unpitched;
}
