/**
 * A shorthand for written music, bar by bar. Lengths are in eighths.
 *
 *   5 G4:6 | F4:3 A4:3        bar 5, then bar 6
 *   D2+F#3+A3:4               a chord
 *   -:3                       a rest
 *   =:6                       the note before is held on
 *
 * A later line for the same bar replaces an earlier one; what a bar leaves open at its end is silent.
 */
import { midiOf, parsePitch } from '../src/model/music/pitch.ts';

export interface SampleBar {
  readonly number: number;
  readonly start: number;
  readonly length: number;
  readonly numerator: number;
  readonly denominator: 4 | 8;
}

/** Position and length in eighths from the first note of the piece (the start of the pickup). */
export interface WrittenNote {
  readonly midi: number;
  readonly name: string;
  readonly bar: number;
  readonly start: number;
  readonly length: number;
}

export const LAST_BAR = 48;
const PICKUP_EIGHTHS = 3;

function meterOf(bar: number): { numerator: number; denominator: 4 | 8 } {
  if (bar === 0) return { numerator: PICKUP_EIGHTHS, denominator: 8 };
  if (bar === 16 || bar === 40) return { numerator: 9, denominator: 8 };
  if (bar >= 17 && bar <= 28) return { numerator: 5, denominator: 4 };
  return { numerator: 6, denominator: 8 };
}

/** Bars 0 (the pickup) to the last, each in its meter. */
export function barsInMeters(
  lastBar: number,
  meterAt: (bar: number) => { readonly numerator: number; readonly denominator: 4 | 8 },
): SampleBar[] {
  const bars: SampleBar[] = [];
  let start = 0;
  for (let number = 0; number <= lastBar; number++) {
    const meter = meterAt(number);
    const length = (meter.numerator * 8) / meter.denominator;
    bars.push({ number, start, length, ...meter });
    start += length;
  }
  return bars;
}

/** Bars 0 (the pickup) to 48. */
export const BARS: readonly SampleBar[] = barsInMeters(LAST_BAR, meterOf);

export const TOTAL_EIGHTHS = BARS.reduce((sum, bar) => sum + bar.length, 0);

export function barOf(number: number): SampleBar {
  const bar = BARS[number];
  if (bar === undefined) throw new Error(`the piece has no bar ${number}`);
  return bar;
}

export function barAt(eighths: number): SampleBar {
  return BARS.findLast((bar) => bar.start <= eighths + 1e-9) ?? barOf(0);
}

/** MIDI key number of a name that this script wrote itself. */
function keyNumber(name: string): number {
  const pitch = parsePitch(name);
  if (pitch === undefined) throw new Error(`not a pitch: ${name}`);
  return midiOf(pitch);
}

/** Text of each bar, later lines over earlier ones. */
export function barTexts(text: string): Map<number, string> {
  const texts = new Map<number, string>();
  for (const line of text.split('\n').map((raw) => raw.trim())) {
    const match = /^(\d+)\s+(.*)$/.exec(line);
    if (match === null) continue;
    const [, first = '', rest = ''] = match;
    rest.split('|').forEach((bar, index) => texts.set(Number(first) + index, bar.trim()));
  }
  return texts;
}

/** The notes of one line of music in these bars, ties joined, in order of start. */
export function notesIn(bars: readonly SampleBar[], text: string): WrittenNote[] {
  const notes: WrittenNote[] = [];
  const texts = barTexts(text);
  for (const bar of bars) {
    let position = bar.start;
    for (const word of (texts.get(bar.number) ?? '').split(/\s+/).filter((each) => each !== '')) {
      const [names = '', lengthText = ''] = word.split(':');
      const length = Number(lengthText);
      if (!(length > 0)) throw new Error(`bar ${bar.number}: ${word} has no length`);
      if (names === '=') {
        const held = notes.filter((note) => Math.abs(note.start + note.length - position) < 1e-9);
        if (held.length === 0) throw new Error(`bar ${bar.number}: nothing to hold on`);
        for (const note of held) notes[notes.indexOf(note)] = { ...note, length: note.length + length };
      } else if (names !== '-') {
        for (const name of names.split('+')) {
          notes.push({ midi: keyNumber(name), name, bar: bar.number, start: position, length });
        }
      }
      position += length;
    }
    if (position > bar.start + bar.length + 1e-9)
      throw new Error(`bar ${bar.number} is too full: ${text.slice(0, 40)}`);
  }
  return notes.sort((a, b) => a.start - b.start || a.midi - b.midi);
}

/** The notes of one line of the first sample. */
export function notesOf(text: string): WrittenNote[] {
  return notesIn(BARS, text);
}
