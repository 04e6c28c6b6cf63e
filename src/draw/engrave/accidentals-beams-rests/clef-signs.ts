/** Clefs and key signatures: which line a pitch stands on, and which signs stand at the head of a staff. */
import type { Clef } from '../../../model/music/instrument.ts';
import type { SpelledPitch } from '../../../model/music/pitch.ts';
import { STEPS } from '../../../model/music/pitch.ts';
import type { ScoreBar } from '../../../model/music/written.ts';

interface ClefRecord {
  readonly glyph: string;
  /** y of the line it names, from the top line down, in pixels at a staff space of 10. */
  readonly y: number;
  /** Diatonic number (octave * 7 + step, C = 0) of the pitch WRITTEN on the lowest line. */
  readonly lowestLine: number;
  /** Written octave minus sounding octave. */
  readonly octaves: number;
  /** y shift of a key signature against the treble clef. */
  readonly signatureY: number;
}

const RECORDS: Readonly<Record<Clef, ClefRecord>> = {
  treble: { glyph: '\uE050', y: 30, lowestLine: 30, octaves: 0, signatureY: 0 },
  'treble-8': { glyph: '\uE052', y: 30, lowestLine: 30, octaves: 1, signatureY: 0 },
  bass: { glyph: '\uE062', y: 10, lowestLine: 18, octaves: 0, signatureY: 10 },
  'bass-8': { glyph: '\uE064', y: 10, lowestLine: 18, octaves: 1, signatureY: 10 },
  alto: { glyph: '\uE05C', y: 20, lowestLine: 24, octaves: 0, signatureY: 5 },
  tenor: { glyph: '\uE05C', y: 10, lowestLine: 22, octaves: 0, signatureY: -5 },
  percussion: { glyph: '\uE069', y: 20, lowestLine: 30, octaves: 0, signatureY: 0 },
};

/** A sign at the head of a staff; x from the left of its column. */
export interface HeadSign {
  readonly glyph: string;
  readonly y: number;
}

export function clefSign(clef: Clef): HeadSign {
  return { glyph: RECORDS[clef].glyph, y: RECORDS[clef].y };
}

/**
 * Line of the staff on which a sounding pitch is written: 1 = lowest line, 1.5 = the space above it, and so on. An octave
 * clef is written an octave above the sound. Unpitched notes stand on the middle line.
 */
export function lineOf(pitch: SpelledPitch, clef: Clef): number {
  if (clef === 'percussion') return 3;
  const record = RECORDS[clef];
  const diatonic = (pitch.octave + record.octaves) * 7 + STEPS.indexOf(pitch.step);
  return 1 + (diatonic - record.lowestLine) / 2;
}

const SHARP_YS = [0, 15, -5, 10, 25, 5, 20];
/** Sharps in the tenor clef start low, so that none stands above the staff (E. Gould, Behind Bars, from memory). */
const TENOR_SHARP_YS = [30, 10, 25, 5, 20, 0, 15];
const FLAT_YS = [20, 5, 25, 10, 30, 15, 35];

/**
 * Signs of a key signature (-7..7, sharps positive). A change to the open key cancels what was; any other change just
 * shows the new signature (Gould, Behind Bars, from memory).
 */
export function signatureSigns(fifths: number, clef: Clef, changedFrom?: number): readonly HeadSign[] {
  if (clef === 'percussion') return [];
  const shown = fifths === 0 ? (changedFrom ?? 0) : fifths;
  const glyph = fifths === 0 ? '\uE261' : fifths > 0 ? '\uE262' : '\uE260';
  const shift = RECORDS[clef].signatureY;
  const ys =
    shown < 0 ? FLAT_YS.map((y) => y + shift) : clef === 'tenor' ? TENOR_SHARP_YS : SHARP_YS.map((y) => y + shift);
  return ys.slice(0, Math.min(7, Math.abs(shown))).map((y) => ({ glyph, y }));
}

const SHARP_ORDER = ['F', 'C', 'G', 'D', 'A', 'E', 'B'];

/** Alteration that a signature gives to a letter: -1, 0 or 1. */
export function signatureAlter(fifths: number, step: string): number {
  const index = SHARP_ORDER.indexOf(step);
  if (fifths > 0) return index < fifths ? 1 : 0;
  return 6 - index < -fifths ? -1 : 0;
}

/** Signature in force on a staff: its own where the staff is read in another key than the others. */
export function fifthsOf(bar: ScoreBar, staffIndex: number): number {
  return bar.staves[staffIndex]?.fifths ?? bar.fifths;
}
