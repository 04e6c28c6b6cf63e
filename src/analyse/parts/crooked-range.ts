/** Ranges of horns, trumpets and clarinets that stand in another key than the catalogue's. */
import type { Part } from '../../model/music/arrangement.ts';
import { instrumentById } from '../../model/music/catalogue.ts';

interface Span {
  readonly low: number;
  readonly high: number;
}

/** Written harmonics: a natural horn or trumpet is written in C from the second or third harmonic (C3, G3) to the sixteenth (C6). */
const HARMONICS: Readonly<Record<string, Span>> = {
  'horn-f': { low: 48, high: 84 },
  'trumpet-bflat': { low: 55, high: 84 },
  'trumpet-c': { low: 55, high: 84 },
  'cornet-bflat': { low: 55, high: 84 },
};
/** Written third to twelfth harmonic (G3 to G5): where parts for natural brass lie most. Common practice, no source. */
const USUAL_HARMONICS: Span = { low: 55, high: 79 };

const shifted = ({ low, high }: Span, semitones: number): Span => ({ low: low + semitones, high: high + semitones });
const joined = (one: Span, other: Span): Span => ({
  low: Math.min(one.low, other.low),
  high: Math.max(one.high, other.high),
});

/**
 * A range of a part, sounding, in the key that the part stands in: clarinets have one written compass in every key; parts for crooked horns
 * and trumpets are played on the instruments of today too, whose range is widened by the harmonics of the crook.
 */
export function inKeyOf(part: Part, range: Span, kind: 'absolute' | 'practical'): Span {
  const usual = instrumentById(part.instrument)?.transposition.semitones ?? 0;
  const { semitones } = part.transposition;
  if (semitones === usual) return range;
  if (part.instrument === 'clarinet-bflat') return shifted(range, semitones - usual);
  const harmonics = HARMONICS[part.instrument];
  if (harmonics === undefined) return range;
  return joined(range, shifted(kind === 'absolute' ? harmonics : USUAL_HARMONICS, semitones));
}
