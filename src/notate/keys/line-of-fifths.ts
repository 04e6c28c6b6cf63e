/** Spellings as places on the line of fifths: ... Bb -2, F -1, C 0, G 1, D 2 ... */
import type { SpelledClass, SpelledPitch } from '../../model/music/pitch.ts';
import { classAt, fifthsOf } from '../../model/music/pitch.ts';

function modulo(dividend: number, divisor: number): number {
  return ((dividend % divisor) + divisor) % divisor;
}

/** Pitch class 0..11 at a place on the line of fifths. */
export function pitchClassAt(fifths: number): number {
  return modulo(7 * fifths, 12);
}

/** Place of a pitch class within -5..6 of a tonic's place: 1 b2 2 b3 3 4 #4 5 b6 6 b7 7, the harmonic chromatic scale. */
export function chromaticPlace(pitchClass: number, tonicFifths: number): number {
  const above = modulo(pitchClass - pitchClassAt(tonicFifths), 12);
  return tonicFifths + modulo(7 * above + 5, 12) - 5;
}

/** A key number spelled at a place on the line of fifths; places that would need more than a double accidental are moved by an enharmonic. */
export function pitchAt(midi: number, fifths: number): SpelledPitch {
  let place = fifths;
  while (place > 19) place -= 12;
  while (place < -15) place += 12;
  const { step, alter } = classAt(place);
  const octave = Math.floor((midi - alter) / 12) - 1;
  return { step, alter, octave };
}

/** Signature (-7..7) of a key. */
export function signatureOf(tonic: SpelledClass, mode: 'major' | 'minor'): number {
  const fifths = fifthsOf(tonic) - (mode === 'minor' ? 3 : 0);
  return Math.max(-7, Math.min(7, fifths));
}
