/** Small helpers with which folders are written. */
import type { TrueChord, TrueLead } from '../kind.ts';
import type { PieceBar } from './bars.ts';
import { barNumbered } from './bars.ts';
import { barTexts } from '../../../sample-input/notation.ts';

/** Bars a to b as repeats of as many bars from another place of the same line: `again(21, 28, 5)`. */
export function again(from: number, to: number, source: number): string {
  const words = Array.from({ length: to - from + 1 }, (_, index) => `%${String(source + index)}`);
  return `${String(from)} ${words.join(' | ')}`;
}

/** The same line so many octaves higher or lower. */
export function octaves(line: string, by: number): string {
  return line.replace(
    /([A-G](?:#|b)*)(-?\d+)(?=[+:\s'^]|$)/g,
    (_, step: string, octave: string) => step + String(Number(octave) + by),
  );
}

/** Leads from `[track or tracks, first bar, last bar]`. */
export function leads(...spans: readonly (readonly [string | readonly string[], number, number])[]): TrueLead[] {
  return spans.map(([tracks, from, to]) => ({
    tracks: typeof tracks === 'string' ? [tracks] : tracks,
    bars: [from, to],
  }));
}

/** Chords from a line of bars, `1 F:2 C7/E:2 | Dm`; a chord without length fills what is left of the bar. */
export function chordsFrom(bars: readonly PieceBar[], text: string): TrueChord[] {
  return [...barTexts(text)].flatMap(([number, words]) => {
    const bar = barNumbered(bars, number);
    let start = bar.start;
    return words.split(/\s+/).map((word): TrueChord => {
      const [symbol = '', length] = word.split(':');
      const quarters = length === undefined ? bar.start + bar.length - start : Number(length);
      const chord = { bar: number, start, length: quarters, symbol };
      start += quarters;
      return chord;
    });
  });
}
