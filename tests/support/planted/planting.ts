/** What a planting is given, and the ways of spoiling that several of them share. */
import type { RuleName } from '../../../src/model/readings/rule-names.ts';
import type { Ensemble } from './ensembles.ts';
import { chordOfBar } from './ensembles.ts';
import type { LineNote, Piece } from './piece.ts';
import { barOf, barQuarters, barStart, inBars } from './piece.ts';

export interface Flaw {
  readonly rule: RuleName;
  readonly from: number;
  readonly to: number;
  /** Name of the line that has to be named; undefined where the rule names nobody. */
  readonly part?: string;
  readonly piece: Piece;
}

export interface Scene {
  readonly ensemble: Ensemble;
  readonly piece: Piece;
  readonly solo: string;
  /** High to low. */
  readonly voices: readonly [string, string, string, string];
  readonly doubling: string;
}

export type Planting = (scene: Scene) => Omit<Flaw, 'rule'> | undefined;

export const OCTAVE = 12;

export function classAbove(key: number, tonic: number): number {
  return (((key - tonic) % OCTAVE) + OCTAVE) % OCTAVE;
}

/** The nearest key of a class, a tie downwards. */
export function nearest(key: number, tonic: number, wanted: number): number {
  for (let distance = 0; distance < OCTAVE; distance++) {
    if (classAbove(key - distance, tonic) === wanted) return key - distance;
    if (classAbove(key + distance, tonic) === wanted) return key + distance;
  }
  return key;
}

export function background({ voices, doubling }: Scene): readonly string[] {
  return [...voices, doubling];
}

/** Changes the notes of all these lines in the bars. */
export function everywhere(
  piece: Piece,
  names: readonly string[],
  from: number,
  to: number,
  change: (note: LineNote) => LineNote | readonly LineNote[],
): Piece {
  return names.reduce((changed, name) => inBars(changed, name, from, to, change), piece);
}

export function silenced(piece: Piece, names: readonly string[], from: number, to: number): Piece {
  return everywhere(piece, names, from, to, () => []);
}

/** Pitches over and over, each so long, through the bars. */
export function figure(
  piece: Piece,
  keys: readonly number[],
  length: number,
  from: number,
  to: number,
  velocity: number,
): LineNote[] {
  const count = Math.round(((to - from + 1) * barQuarters(piece)) / length);
  return Array.from({ length: count }, (_, index) => ({
    start: barStart(piece, from) + index * length,
    length,
    midi: keys[index % keys.length] ?? 60,
    velocity,
  }));
}

/** Puts every third (or another tone) of the chords in these bars on the root, in these lines. */
export function withoutTone(
  scene: Scene,
  piece: Piece,
  names: readonly string[],
  from: number,
  to: number,
  tone: 0 | 1,
): Piece {
  const { ensemble } = scene;
  return everywhere(piece, names, from, to, (note) => {
    const chord = chordOfBar(ensemble, barOf(piece, note.start));
    const gone = chord.tones[tone];
    const instead = chord.tones[tone === 1 ? 0 : 2] ?? chord.root;
    if (classAbove(note.midi, ensemble.tuneTonic) !== gone) return note;
    return { ...note, midi: nearest(note.midi, ensemble.tuneTonic, instead) };
  });
}

/** Both sevenths over the root of a chord, above the tonic. */
export function sevenths(ensemble: Ensemble, bar: number): readonly number[] {
  const { root } = chordOfBar(ensemble, bar);
  return [(root + 10) % OCTAVE, (root + 11) % OCTAVE];
}

export const only =
  (...names: readonly string[]) =>
  ({ ensemble }: Scene): boolean =>
    names.includes(ensemble.name);
export const STRINGS = 'Oboe and strings';
export const WINDS = 'Piano and winds';
export const BRASS = 'Cornet and brass';
export const CHOIR = 'Choir and organ';
