/**
 * Composing by shorthand. Lines go in as text and come out as notes that can be moved, repeated and set in figures; `asLines` writes them down
 * again. Places are quarter notes from bar 1 (a pickup is negative).
 */
import { Note } from 'tonal';
import { barTexts } from '../../../sample-input/notation.ts';
import type { PieceBar } from '../write/bars.ts';
import { barNumbered } from '../write/bars.ts';
import type { Written } from '../write/shorthand.ts';
import { writtenIn } from '../write/shorthand.ts';

export type BarList = readonly PieceBar[];
export type Line = readonly Written[];

const CLOSE = 1e-6;

function barAt(bars: BarList, quarters: number): number {
  return bars.findLast((bar) => bar.start <= quarters + CLOSE)?.number ?? 0;
}

export function noteOf(
  bars: BarList,
  pitch: string,
  like: Pick<Written, 'start' | 'length'> & Partial<Written>,
): Written {
  const midi = Note.midi(pitch);
  if (midi === null) throw new Error(`not a pitch: ${pitch}`);
  const { start, length, short = false, stressed = false } = like;
  return { start, length, midi, pitch, bar: barAt(bars, start), short, stressed };
}

export function sizeOf(text: string): number {
  const [over = '', under = '1'] = text.split('/');
  const size = Number(over) / Number(under);
  if (!(size > 0)) throw new Error(`not a length: ${text}`);
  return size;
}

/** The notes of a line in which every bar has to be full: a slip of the pen is an error. */
export function music(bars: BarList, text: string): Written[] {
  let length = 1;
  for (const [number, words] of barTexts(text)) {
    const all = words.split(/\s+/).filter((each) => each !== '');
    if (all.length === 0 || all[0]?.startsWith('%') === true) continue;
    let sum = 0;
    for (const word of all) {
      const marked = /:([\d./]+)/.exec(word)?.[1];
      if (marked !== undefined) length = sizeOf(marked);
      sum += length;
    }
    const over = sum - barNumbered(bars, number).length;
    if (Math.abs(over) > 1e-3) throw new Error(`bar ${String(number)} is ${over.toFixed(3)} quarters off: ${words}`);
  }
  return writtenIn(bars, text);
}

/** The notes written down in the shorthand, in as many lines as sound together without being one chord. */
export function asLines(bars: BarList, notes: Line): string[] {
  const groups: Written[][] = [];
  for (const note of sorted(notes)) {
    const group = groups.find(
      ([first]) =>
        first !== undefined &&
        Math.abs(first.start - note.start) < CLOSE &&
        Math.abs(first.length - note.length) < CLOSE &&
        first.short === note.short,
    );
    if (group === undefined) groups.push([note]);
    else group.push(note);
  }
  const lines: Written[][][] = [];
  for (const group of groups) {
    const start = group[0]?.start ?? 0;
    const line = lines.find((each) => {
      const last = each.at(-1)?.[0];
      return last === undefined || last.start + last.length <= start + CLOSE;
    });
    if (line === undefined) lines.push([group]);
    else line.push(group);
  }
  return lines.map((line) => lineText(bars, line));
}

function lineText(bars: BarList, line: readonly (readonly Written[])[]): string {
  return bars
    .map((bar) => {
      const end = bar.start + bar.length;
      const words: string[] = [];
      let at = bar.start;
      for (const group of line) {
        const [first] = group;
        if (first === undefined || first.start >= end - CLOSE || first.start + first.length <= bar.start + CLOSE)
          continue;
        const from = Math.max(first.start, bar.start);
        if (from > at + CLOSE) words.push(`-:${String(from - at)}`);
        const length = Math.min(first.start + first.length, end) - from;
        const names = group.map(({ pitch, midi }) => pitch ?? Note.fromMidiSharps(midi)).join('+');
        const marks = `${first.short ? "'" : ''}${first.stressed ? '^' : ''}`;
        words.push(first.start < bar.start - CLOSE ? `=:${String(length)}` : `${names}:${String(length)}${marks}`);
        at = from + length;
      }
      return words.length === 0 ? '' : `${String(bar.number)} ${words.join(' ')}`;
    })
    .filter((text) => text !== '')
    .join('\n');
}

function sorted(notes: Line): Written[] {
  return [...notes].sort((a, b) => a.start - b.start || a.midi - b.midi);
}

/** Notes, or chords, that begin in these bars. */
export function within<Item extends { readonly bar: number }>(
  items: readonly Item[],
  from: number,
  to: number,
): Item[] {
  return items.filter(({ bar }) => bar >= from && bar <= to);
}

/** Other music in these bars. */
export function instead(notes: Line, from: number, to: number, by: Line): Written[] {
  return sorted([...notes.filter(({ bar }) => bar < from || bar > to), ...by]);
}

/** By an interval such as `-3m`. */
export function transposed(notes: Line, interval: string): Written[] {
  return notes.map((note) => {
    const pitch = Note.transpose(note.pitch ?? '', interval);
    return { ...note, pitch, midi: Note.midi(pitch) ?? note.midi };
  });
}

export function octaves(notes: Line, count: number): Written[] {
  return transposed(notes, count > 0 ? `${String(7 * count + 1)}P` : `-${String(-7 * count + 1)}P`);
}

export function moved(bars: BarList, notes: Line, quarters: number): Written[] {
  return notes.map((note) => {
    const start = note.start + quarters;
    return { ...note, start, bar: barAt(bars, start) };
  });
}

/** The music of bars that begin at `from`, again from bar `to` on. */
export function again(bars: BarList, notes: Line, from: number, last: number, to: number): Written[] {
  return moved(bars, within(notes, from, last), barNumbered(bars, to).start - barNumbered(bars, from).start);
}

export function allShort(notes: Line): Written[] {
  return notes.map((note) => ({ ...note, short: true }));
}

/** Notes of one pitch that follow each other become one. */
export function tied(notes: Line): Written[] {
  const joined: Written[] = [];
  for (const note of sorted(notes)) {
    const before = joined.findLastIndex(
      (each) => each.midi === note.midi && Math.abs(each.start + each.length - note.start) < CLOSE,
    );
    const held = joined[before];
    if (held === undefined) joined.push(note);
    else joined[before] = { ...held, length: held.length + note.length };
  }
  return sorted(joined);
}

/**
 * A figure over lines, bar after bar: `3@0:1 012@1:.5'`: the fourth line at the beginning for a quarter, then the first three together.
 * Each stroke has the pitch that its line has at that moment, and none where the line rests.
 */
export function figured(lines: readonly Line[], bars: BarList, from: number, to: number, pattern: string): Written[] {
  const made: Written[] = [];
  for (const bar of bars.filter(({ number }) => number >= from && number <= to)) {
    for (const word of pattern.split(/\s+/)) {
      const match = /^(\d+)@([\d./]+):([\d./]+)('?)$/.exec(word);
      const [, voices = '', place = '', size = '', mark] = match ?? [];
      if (match === null) throw new Error(`not a stroke: ${word}`);
      const offset = place === '0' ? 0 : sizeOf(place);
      const length = sizeOf(size);
      const start = bar.start + offset;
      if (offset + length > bar.length + CLOSE) continue;
      for (const voice of new Set(voices)) {
        const note = lines[Number(voice)]?.find(
          (each) => each.start <= start + CLOSE && each.start + each.length > start + CLOSE,
        );
        if (note === undefined || made.some((each) => each.start === start && each.midi === note.midi)) continue;
        made.push({ ...note, start, length, bar: bar.number, short: mark === "'" });
      }
    }
  }
  return sorted(made);
}

/** Keys of a percussion map, or of one instrument, struck in every bar: `36@0 38@1 42@0`. */
export function strokes(bars: BarList, from: number, to: number, pattern: string, length = 0.25): Written[] {
  const made: Written[] = [];
  for (const bar of bars.filter(({ number }) => number >= from && number <= to)) {
    for (const word of pattern.split(/\s+/)) {
      const [key = '', place = ''] = word.split('@');
      const offset = place === '0' ? 0 : sizeOf(place);
      if (offset >= bar.length - CLOSE) continue;
      const midi = Number(key);
      made.push({ start: bar.start + offset, length, midi, bar: bar.number, short: false, stressed: false });
    }
  }
  return sorted(made);
}
