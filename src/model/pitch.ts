/**
 * Pitch arithmetic. Scientific pitch notation, C4 = middle C = MIDI key 60 (the numbering of MIDI 1.0).
 */

export type Step = 'C' | 'D' | 'E' | 'F' | 'G' | 'A' | 'B';

export const STEPS: readonly Step[] = ['C', 'D', 'E', 'F', 'G', 'A', 'B'];

const SEMITONES_ABOVE_C: Readonly<Record<Step, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

/** A pitch with its spelling. `alter` is in semitones (-2..2); `octave` is the scientific octave of the LETTER (Cb4 = 59). */
export interface SpelledPitch {
  readonly step: Step;
  readonly alter: number;
  readonly octave: number;
}

/** Pitch class spelling without octave, e.g. the tonic of a key or the root of a chord. */
export interface SpelledClass {
  readonly step: Step;
  readonly alter: number;
}

/** MIDI key number of a spelled pitch (60 for C4, 59 for Cb4). */
export function midiOf(pitch: SpelledPitch): number {
  return 12 * (pitch.octave + 1) + SEMITONES_ABOVE_C[pitch.step] + pitch.alter;
}

/** Pitch class 0..11 (C = 0) of a spelled class or pitch. */
export function pitchClassOf(spelled: SpelledClass): number {
  return (((SEMITONES_ABOVE_C[spelled.step] + spelled.alter) % 12) + 12) % 12;
}

const ACCIDENTAL_TEXT: Readonly<Record<number, string>> = { [-2]: 'bb', [-1]: 'b', 0: '', 1: '#', 2: '##' };

/** Name in ASCII, as the data export has it: `F#`, `Bb`, `C`. */
export function className(spelled: SpelledClass): string {
  return spelled.step + (ACCIDENTAL_TEXT[spelled.alter] ?? '?');
}

/** Scientific name in ASCII, as the data export has it: `F#4`, `Bb3`. */
export function pitchName(pitch: SpelledPitch): string {
  return className(pitch) + String(pitch.octave);
}

const ACCIDENTAL_SIGN: Readonly<Record<number, string>> = { [-2]: '𝄫', [-1]: '♭', 0: '', 1: '♯', 2: '𝄪' };

/** Name as it is shown to readers: `F♯4`, `B♭3`. */
export function pitchLabel(pitch: SpelledPitch): string {
  return pitch.step + (ACCIDENTAL_SIGN[pitch.alter] ?? '?') + String(pitch.octave);
}

const PITCH_PATTERN = /^([A-Ga-g])(bb|##|b|#|♭|♯|x)?(-?\d{1,2})$/;

/** Reads `F#4`, `Bb3`, `c5`, `B♭3`; undefined where the text is not a pitch. */
export function parsePitch(text: string): SpelledPitch | undefined {
  const match = PITCH_PATTERN.exec(text.trim());
  if (match === null) return undefined;
  const [, letter = '', accidental = '', octave = ''] = match;
  const alter = { bb: -2, b: -1, '♭': -1, '': 0, '#': 1, '♯': 1, '##': 2, x: 2 }[accidental] ?? 0;
  return { step: letter.toUpperCase() as Step, alter, octave: Number(octave) };
}

const SHARP_SPELLINGS: readonly SpelledClass[] = [
  { step: 'C', alter: 0 },
  { step: 'C', alter: 1 },
  { step: 'D', alter: 0 },
  { step: 'E', alter: -1 },
  { step: 'E', alter: 0 },
  { step: 'F', alter: 0 },
  { step: 'F', alter: 1 },
  { step: 'G', alter: 0 },
  { step: 'A', alter: -1 },
  { step: 'A', alter: 0 },
  { step: 'B', alter: -1 },
  { step: 'B', alter: 0 },
];

/** The commonest spelling of a key number where no key is known (Eb, Ab and Bb flat, F# and C# sharp). */
export function plainSpelling(midi: number): SpelledPitch {
  const spelled = SHARP_SPELLINGS[((midi % 12) + 12) % 12] ?? { step: 'C', alter: 0 };
  return { ...spelled, octave: Math.floor(midi / 12) - 1 };
}

/** Moves a spelled pitch by an interval given in diatonic steps and semitones (both signed), keeping it spelled. */
export function transpose(pitch: SpelledPitch, diatonicSteps: number, semitones: number): SpelledPitch {
  const index = STEPS.indexOf(pitch.step) + 7 * pitch.octave + diatonicSteps;
  const step = STEPS[((index % 7) + 7) % 7] ?? 'C';
  const octave = Math.floor(index / 7);
  const natural = midiOf({ step, alter: 0, octave });
  return { step, alter: midiOf(pitch) + semitones - natural, octave };
}

/** Equal-tempered frequency in hertz of a MIDI key number, A4 (69) = 440 Hz. */
export function frequencyHz(midi: number): number {
  return 440 * 2 ** ((midi - 69) / 12);
}
