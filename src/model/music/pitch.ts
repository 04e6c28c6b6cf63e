/**
 * Pitches in records of our own, with the arithmetic of `tonal`. Scientific pitch notation, C4 = middle C = MIDI key 60 (the numbering of MIDI 1.0).
 */
import { Midi, Note, altToAcc, chroma, coordinates, height, pitch as pitchFrom } from 'tonal';

export type Step = 'C' | 'D' | 'E' | 'F' | 'G' | 'A' | 'B';

export const STEPS: readonly Step[] = ['C', 'D', 'E', 'F', 'G', 'A', 'B'];

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

/** MIDI begins an octave below C0, from which `tonal` counts semitones. */
const KEYS_BELOW_C0 = 12;

/** MIDI key number of a spelled pitch (60 for C4, 59 for Cb4). */
export function midiOf({ step, alter, octave }: SpelledPitch): number {
  return height({ step: STEPS.indexOf(step), alt: alter, oct: octave }) + KEYS_BELOW_C0;
}

/** Pitch class 0..11 (C = 0) of a spelled class or pitch. */
export function pitchClassOf({ step, alter }: SpelledClass): number {
  return chroma({ step: STEPS.indexOf(step), alt: alter });
}

/** Places of a spelled class on the line of fifths, C = 0, G = 1; sharps positive. */
export function fifthsOf({ step, alter }: SpelledClass): number {
  return coordinates({ step: STEPS.indexOf(step), alt: alter })[0];
}

/** Spelled class at a place on the line of fifths. */
export function classAt(fifths: number): SpelledClass {
  const { step, alt } = pitchFrom([fifths]);
  return { step: STEPS[step] ?? 'C', alter: alt };
}

/** Spelled class of a name in ASCII: `F#`, `Bb`, `C`. */
export function classNamed(name: string): SpelledClass {
  const { step, alt } = Note.get(name);
  return { step: STEPS[step] ?? 'C', alter: alt };
}

/** Name in ASCII, as the data export has it: `F#`, `Bb`, `C`. */
export function className(spelled: SpelledClass): string {
  return spelled.step + altToAcc(spelled.alter);
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

/** Reads `F#4`, `Bb3`, `c5`, `B♭3`; undefined where the text is not a pitch, or needs three signs. */
export function parsePitch(text: string): SpelledPitch | undefined {
  const { step, alt, oct } = Note.get(text.trim().replace(/(?<=.)[♭♯]/u, (sign) => (sign === '♭' ? 'b' : '#')));
  const letter = STEPS[step];
  // An octave without digits (`C-`) is no number.
  if (letter === undefined || oct === undefined || !Number.isInteger(oct) || Math.abs(alt) > 2) return undefined;
  return { step: letter, alter: alt, octave: oct };
}

/** What is written where no key is known: E flat, A flat and B flat, F sharp and C sharp. */
const PLAIN = 'C C# D Eb E F F# G Ab A Bb B'.split(' ').map(classNamed);

/** The commonest spelling of a key number where no key is known. */
export function plainSpelling(midi: number): SpelledPitch {
  const spelled = PLAIN[((midi % 12) + 12) % 12] ?? { step: 'C', alter: 0 };
  return { ...spelled, octave: Math.floor(midi / 12) - 1 };
}

/** An interval in diatonic steps and semitones (both signed) as fifths and octaves. */
export function fifthsAndOctaves(diatonicSteps: number, semitones: number): readonly [fifths: number, octaves: number] {
  return [7 * semitones - 12 * diatonicSteps, 7 * diatonicSteps - 4 * semitones];
}

/** Moves a spelled pitch by an interval given in diatonic steps and semitones (both signed), keeping it spelled. */
export function transpose(pitch: SpelledPitch, diatonicSteps: number, semitones: number): SpelledPitch {
  const [ownFifths, ownOctaves = 0] = coordinates({
    step: STEPS.indexOf(pitch.step),
    alt: pitch.alter,
    oct: pitch.octave,
  });
  const [fifths, octaves] = fifthsAndOctaves(diatonicSteps, semitones);
  const { step, alt, oct = 0 } = pitchFrom([ownFifths + fifths, ownOctaves + octaves]);
  return { step: STEPS[step] ?? 'C', alter: alt, octave: oct };
}

/** Equal-tempered frequency in hertz of a MIDI key number, A4 (69) = 440 Hz. */
export function frequencyHz(midi: number): number {
  return Midi.midiToFreq(midi);
}

/** Church modes other than major and minor. */
export type ModeName = 'dorian' | 'phrygian' | 'lydian' | 'mixolydian';

/** A mode on its final. */
export interface ModalKey {
  readonly tonic: SpelledClass;
  readonly name: ModeName;
}

interface ModeRecord {
  /** Fifths from the tonic of the major key with the same signature up to the final. */
  readonly fifths: number;
  /** By its third. */
  readonly kind: 'major' | 'minor';
  /** Semitones above the final of the degree that tells it from the plain key of its kind, and of what that key has there. */
  readonly degree: number;
  readonly plain: number;
}

/** Church modes by the signature that they share with a major key (textbooks of music theory; from memory). */
export const MODES: Readonly<Record<ModeName, ModeRecord>> = {
  dorian: { fifths: 2, kind: 'minor', degree: 9, plain: 8 },
  phrygian: { fifths: 4, kind: 'minor', degree: 1, plain: 2 },
  lydian: { fifths: -1, kind: 'major', degree: 6, plain: 5 },
  mixolydian: { fifths: 1, kind: 'major', degree: 10, plain: 11 },
};

/** Tonic of the major key with the signature of a mode: D major for E dorian. */
export function majorBehind({ tonic, name }: ModalKey): SpelledClass {
  return classAt(fifthsOf(tonic) - MODES[name].fifths);
}
