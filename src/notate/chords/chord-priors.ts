/**
 * How likely a chord is in a key, and how likely one chord follows another: the harmony that textbooks of tonal music call usual.
 * The order of likelihood is common practice as S. Kostka and D. Payne (Tonal Harmony) and W. Piston (Harmony, "table of usual root
 * progressions") give it; the figures themselves are ours, of judgement, set once and checked against human analyses (see DEVELOPERS).
 */
import { TEMPLATES } from './chord-templates.ts';

/** What an unusual chord costs where the table does not name it. */
const FOREIGN = 1.3;

/** Cost by quality and semitones of the root above the tonic. */
export type ChordCosts = Readonly<Record<string, Readonly<Record<number, number>>>>;

export const TONAL_MAJOR: ChordCosts = {
  major: { 0: 0, 7: 0.05, 5: 0.15, 2: 0.5, 9: 0.6, 4: 0.6, 8: 0.75, 1: 0.9, 3: 0.9, 10: 0.8 },
  minor: { 2: 0.2, 9: 0.25, 4: 0.5, 5: 0.6, 0: 0.9 },
  'dominant-seventh': { 7: 0, 2: 0.4, 0: 0.5, 9: 0.5, 4: 0.5, 11: 0.75, 8: 0.8 },
  'minor-seventh': { 2: 0.2, 9: 0.45, 4: 0.6 },
  'major-seventh': { 0: 0.6, 5: 0.5 },
  diminished: { 11: 0.3, 6: 0.65, 2: 0.7, 1: 0.7, 8: 0.75 },
  'half-diminished': { 11: 0.4, 2: 0.5, 6: 0.65 },
  'diminished-seventh': { 11: 0.4, 6: 0.45, 1: 0.55, 8: 0.6, 4: 0.7, 3: 0.75 },
  'suspended-fourth': { 0: 0.4, 7: 0.4 },
  augmented: { 0: 0.9, 7: 0.8 },
};

export const TONAL_MINOR: ChordCosts = {
  major: { 7: 0.05, 8: 0.25, 3: 0.35, 10: 0.5, 0: 0.7, 5: 0.75, 1: 0.5, 2: 0.7 },
  minor: { 0: 0, 5: 0.15, 7: 0.6 },
  'dominant-seventh': { 7: 0, 10: 0.5, 0: 0.5, 2: 0.55, 8: 0.6, 5: 0.65, 3: 0.65 },
  'minor-seventh': { 5: 0.45, 0: 0.6 },
  'major-seventh': { 8: 0.6, 3: 0.7 },
  diminished: { 2: 0.3, 11: 0.3, 6: 0.7, 4: 0.75 },
  'half-diminished': { 2: 0.2, 11: 0.8 },
  'diminished-seventh': { 11: 0.2, 6: 0.4, 4: 0.55, 3: 0.8 },
  'suspended-fourth': { 0: 0.4, 7: 0.4 },
  augmented: { 3: 0.8, 7: 0.8 },
};

/** Cost of each of the first templates (in their order) in a key on C, as a table has it. */
export function costsOf(table: ChordCosts, count: number, foreign = FOREIGN): Float64Array {
  return Float64Array.from(TEMPLATES.slice(0, count), ({ root, quality }) => table[quality.name]?.[root] ?? foreign);
}

/** Chords by how they want to go on: dominants fall by a fifth, leading-note chords rise by a semitone, the rest is freer. */
export const DIRECTIONS = 3;

export function directionOf(quality: string): number {
  if (quality === 'dominant-seventh' || quality === 'suspended-seventh') return 1;
  return quality.startsWith('diminished') || quality === 'half-diminished' ? 2 : 0;
}

/**
 * What a step of the root costs (semitones upward, 0..11), by direction of the chord before. Falling fifths are the most usual, then falling
 * thirds and rising seconds; rising thirds and falling seconds are rarer (Piston's table, from memory).
 */
export const ROOT_STEPS: readonly (readonly number[])[] = [
  [0, 0.35, 0.15, 0.3, 0.35, -0.1, 0.5, 0, 0.25, 0.2, 0.3, 0.35],
  [0, 0.3, 0.3, 0.6, 0.6, -0.4, 0.5, 0.4, 0.4, 0.2, 0.5, 0.5],
  [0, -0.35, 0.3, 0.4, 0.3, 0.2, 0.5, 0.5, -0.1, 0.4, 0.5, 0.5],
];
