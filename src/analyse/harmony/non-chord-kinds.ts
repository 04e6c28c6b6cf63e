/**
 * The kinds of notes that are foreign to their chord, told apart by how they are come to and left, and by the beat. The definitions are those that
 * textbooks share: S. Kostka and D. Payne, Tonal Harmony, chapters "Nonchord tones 1 and 2"; E. Aldwell and C. Schachter, Harmony and Voice
 * Leading, chapters on melodic figuration and on suspensions (both from memory).
 */
import type { NonChordKind } from '../../model/readings/readings.ts';

/** What a line does around a foreign note, in semitones and metrical facts. */
export interface LineAround {
  /** Interval from the note before in the same line, 0 for the same pitch; undefined where the line begins or rests. */
  readonly comes: number | undefined;
  /** Interval to the note that follows. */
  readonly leaves: number | undefined;
  /** True where it already sounded, or the same pitch was just struck, as a tone of the chord before. */
  readonly isPrepared: boolean;
  /** True where it begins on a beat (or the chord changes under it there), and the note that follows stands on a weaker place. */
  readonly isAccented: boolean;
  /** True where the note that follows is the same pitch and belongs to the chord of its moment. */
  readonly isAnticipated: boolean;
  /** True where it is the lowest note, is held or repeated through, and belongs to the chords before and after. */
  readonly isGround: boolean;
}

/** At most a whole tone. */
const STEP = 2;

function isStep(interval: number | undefined): interval is number {
  return interval !== undefined && interval !== 0 && Math.abs(interval) <= STEP;
}

/** The kind of a foreign note, the surest first; `free` where no definition fits. */
export function kindOf(line: LineAround): NonChordKind {
  const { comes, leaves } = line;
  if (line.isGround) return 'pedal';
  if (line.isPrepared && line.isAccented && isStep(leaves)) return leaves < 0 ? 'suspension' : 'retardation';
  if (line.isAnticipated && !line.isAccented) return 'anticipation';
  if (isStep(comes) && isStep(leaves)) return comes > 0 === leaves > 0 ? 'passing' : 'neighbour';
  if (isStep(leaves) && line.isAccented) return 'appoggiatura';
  if (isStep(comes) && leaves !== undefined && leaves !== 0) return 'escape';
  if (isStep(leaves) && comes !== undefined && comes !== 0) return 'appoggiatura';
  return 'free';
}

/** The kinds in the order in which the pages list them. */
export const NON_CHORD_KINDS: readonly NonChordKind[] = [
  'passing',
  'neighbour',
  'suspension',
  'retardation',
  'appoggiatura',
  'anticipation',
  'escape',
  'pedal',
  'free',
];

/** How each kind is known, as the pages say it; plain text. */
export const NON_CHORD_RULES: Readonly<Record<NonChordKind, { readonly name: string; readonly rule: string }>> = {
  passing: { name: 'passing note', rule: 'come to by step and left by step in the same direction' },
  neighbour: { name: 'neighbor note', rule: 'come to by step and left by step back again' },
  suspension: {
    name: 'suspension',
    rule: 'held or struck again from the chord before, on a beat, and resolved a step down',
  },
  retardation: { name: 'retardation', rule: 'a suspension that resolves a step up' },
  appoggiatura: {
    name: 'appoggiatura',
    rule: 'come to by leap and left by step, or struck on the beat and left by step',
  },
  anticipation: { name: 'anticipation', rule: 'off the beat, and the same pitch belongs to the chord that follows' },
  escape: { name: 'escape note', rule: 'come to by step and left by leap' },
  pedal: { name: 'pedal', rule: 'lowest note, held or repeated, at home in the chords before and after' },
  free: { name: 'unexplained', rule: 'none of these: perhaps the chord is read wrongly there' },
};
