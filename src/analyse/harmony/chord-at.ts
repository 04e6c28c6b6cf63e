/** Which chord is in force. */
import type { ChordSpan } from '../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import { firstReaching } from '../../model/sorted-search.ts';

/** Index of the first chord that ends after a division; the number of chords where there is none. Chords are sorted and do not overlap. */
export function firstChordEndingAfter(chords: readonly ChordSpan[], division: number): number {
  return firstReaching(chords, ({ start, length }) => start + length > division);
}

/** The chord at a written place in quarters; undefined where none is named. */
export function chordAt(chords: readonly ChordSpan[], quarters: number): ChordSpan | undefined {
  const division = Math.round(quarters * DIVISIONS_PER_QUARTER);
  const chord = chords[firstChordEndingAfter(chords, division)];
  return chord !== undefined && chord.start <= division ? chord : undefined;
}
