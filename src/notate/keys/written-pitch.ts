/** Sounding pitch and signature as the player of a transposing instrument reads them. */
import type { Part } from '../../model/music/arrangement.ts';
import { instrumentById } from '../../model/music/catalogue.ts';
import { fifthsAndOctaves, transpose, type SpelledPitch } from '../../model/music/pitch.ts';

/** Sounding minus written, octaves included, in diatonic steps and in semitones (both -7 and -12 for an octave lower). */
export interface PitchInterval {
  readonly diatonic: number;
  readonly chromatic: number;
}

export const UNISON: PitchInterval = { diatonic: 0, chromatic: 0 };

const STEPS_IN_OCTAVE = 7;
const SEMITONES_IN_OCTAVE = 12;

/**
 * How a part is written in a score. An instrument whose clef says the octave (guitar, tenor voice) is written as it sounds:
 * MusicXML puts that octave into the clef and the true pitch into the note, and a `transpose` beside it would count twice.
 */
export function intervalOf(part: Pick<Part, 'instrument' | 'transposition' | 'unpitched'>): PitchInterval {
  const { semitones, diatonicSteps } = part.transposition;
  const [clef = ''] = instrumentById(part.instrument)?.clefs ?? [];
  if (part.unpitched || (clef.endsWith('-8') && semitones === -SEMITONES_IN_OCTAVE)) return UNISON;
  return { diatonic: diatonicSteps, chromatic: semitones };
}

/**
 * How a part is written in a score at concert pitch: what sounds whole octaves away from its notes keeps them (double bass,
 * piccolo, glockenspiel), all else is written as it sounds (common practice of scores in C, no source).
 */
export function concertIntervalOf(part: Pick<Part, 'instrument' | 'transposition' | 'unpitched'>): PitchInterval {
  const interval = intervalOf(part);
  return interval.chromatic % SEMITONES_IN_OCTAVE === 0 ? interval : UNISON;
}

/** Transposed signatures with more signs than this are written enharmonically, D flat for C sharp (common practice, no source). */
const MOST_SIGNS = 6;

/**
 * Written signature of a sounding one. Where it would have too many signs, the enharmonic signature is taken and the
 * interval keeps the sounding spelling: `diatonic` of MusicXML's `transpose` is there for "correct spelling of enharmonic transpositions".
 */
export function writtenSignature(
  soundingFifths: number,
  interval: PitchInterval,
): { readonly fifths: number; readonly interval: PitchInterval } {
  const [moved] = fifthsAndOctaves(interval.diatonic, interval.chromatic);
  const fifths = soundingFifths - moved;
  if (moved === 0 || Math.abs(fifths) <= MOST_SIGNS) return { fifths, interval };
  const sign = Math.sign(fifths);
  return {
    fifths: fifths - SEMITONES_IN_OCTAVE * sign,
    interval: { diatonic: interval.diatonic - sign, chromatic: interval.chromatic },
  };
}

/** The written pitch of a sounding one; respelled where it would need three signs. */
export function writtenPitch(sounding: SpelledPitch, interval: PitchInterval): SpelledPitch {
  const written = transpose(sounding, -interval.diatonic, -interval.chromatic);
  return Math.abs(written.alter) <= 2 ? written : transpose(written, Math.sign(written.alter), 0);
}

/** The interval as MusicXML has it: whole octaves apart from the rest, both leading the same way. */
export function splitInterval({ diatonic, chromatic }: PitchInterval): PitchInterval & { readonly octaves: number } {
  const octaves = Math.trunc(chromatic / SEMITONES_IN_OCTAVE);
  return {
    diatonic: diatonic - STEPS_IN_OCTAVE * octaves,
    chromatic: chromatic - SEMITONES_IN_OCTAVE * octaves,
    octaves,
  };
}
