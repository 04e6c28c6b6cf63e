/**
 * A shorthand for written music, bar by bar, after that of the samples. Lengths are in quarters and hold until the next one is given.
 *
 *   5 G4:1 A4 B4:2 | C5:4     bar 5, then bar 6
 *   D2+F#3+A3:2               a chord
 *   -:1                       a rest
 *   =:2                       what ended here is held on
 *   G4:1/3                    a third of a quarter
 *   G4:1'  G4:1^              short; stressed
 *   %  %3                     as the bar before; as bar 3
 *   k s h o r x c             drums: kick, snare, closed and open hat, ride, hat by foot, crash (see DRUMS)
 *
 * A later line for the same bar replaces an earlier one; what a bar leaves open at its end is silent.
 */
import { barTexts } from '../../../sample-input/notation.ts';
import { midiOf, parsePitch } from '../../../src/model/music/pitch.ts';
import type { PieceBar } from './bars.ts';

export interface Written {
  readonly start: number;
  readonly length: number;
  readonly midi: number;
  /** Undefined for drums. */
  readonly pitch?: string;
  readonly bar: number;
  readonly short: boolean;
  readonly stressed: boolean;
}

/** Keys of the percussion map of General MIDI level 1. */
const DRUMS: Readonly<Record<string, number>> = {
  k: 36,
  n: 37,
  s: 38,
  h: 42,
  x: 44,
  o: 46,
  c: 49,
  r: 51,
  t: 45,
  T: 48,
  l: 41,
};

function soundOf(name: string): { readonly midi: number; readonly pitch?: string } {
  const drum = DRUMS[name];
  if (drum !== undefined) return { midi: drum };
  const pitch = parsePitch(name);
  if (pitch === undefined) throw new Error(`not a pitch: ${name}`);
  return { midi: midiOf(pitch), pitch: name };
}

function lengthOf(text: string): number {
  const [above = '', below = '1'] = text.split('/');
  const length = Number(above) / Number(below);
  if (!(length > 0)) throw new Error(`not a length: ${text}`);
  return length;
}

/** Text of every bar with the repeats written out. */
function writtenOut(bars: readonly PieceBar[], text: string): Map<number, string> {
  const given = barTexts(text);
  const full = new Map<number, string>();
  for (const { number } of bars) {
    const own = given.get(number) ?? '';
    const again = /^%(\d*)$/.exec(own);
    const from = again === null ? undefined : again[1] === '' ? number - 1 : Number(again[1]);
    full.set(number, from === undefined ? own : (full.get(from) ?? ''));
  }
  for (const number of given.keys()) if (!full.has(number)) throw new Error(`the piece has no bar ${number}`);
  return full;
}

/** The notes of one line of music, ties joined, in order of start. Throws where a bar is too full or a word is not music. */
export function writtenIn(bars: readonly PieceBar[], text: string): Written[] {
  const notes: Written[] = [];
  const texts = writtenOut(bars, text);
  let length = 1;
  for (const bar of bars) {
    let position = bar.start;
    for (const word of (texts.get(bar.number) ?? '').split(/\s+/).filter((each) => each !== '')) {
      const [names = '', marked = ''] = word.replace(/['^]+$/, '').split(':');
      const marks = /['^]+$/.exec(word)?.[0] ?? '';
      if (marked !== '') length = lengthOf(marked);
      if (names === '=') {
        const held = notes.flatMap((note, at) => (Math.abs(note.start + note.length - position) < 1e-6 ? [at] : []));
        if (held.length === 0) throw new Error(`bar ${bar.number}: nothing to hold on`);
        for (const at of held) notes[at] = { ...notes[at]!, length: notes[at]!.length + length };
      } else if (names !== '-') {
        for (const name of names.split('+')) {
          const shape = { short: marks.includes("'"), stressed: marks.includes('^') };
          notes.push({ ...soundOf(name), start: position, length, bar: bar.number, ...shape });
        }
      }
      position += length;
    }
    if (position > bar.start + bar.length + 1e-6) {
      throw new Error(`bar ${bar.number} is too full: ${texts.get(bar.number) ?? ''}`);
    }
  }
  return notes.sort((a, b) => a.start - b.start || a.midi - b.midi);
}
