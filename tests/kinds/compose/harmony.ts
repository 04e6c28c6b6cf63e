/** Harmony from chord symbols: settings in four parts, basses, voicings without roots, block harmony. Places are quarters from bar 1. */
import { Chord, Note } from 'tonal';
import { barTexts } from '../../../sample-input/notation.ts';
import type { Compass, TuneStep } from '../../support/planted/voice-leading.ts';
import { smoothest } from '../../support/planted/voice-leading.ts';
import { barNumbered } from '../write/bars.ts';
import type { Written } from '../write/shorthand.ts';
import type { BarList, Line } from './compose.ts';
import { noteOf, sizeOf } from './compose.ts';

const CLOSE = 1e-6;

export interface ChordSpan {
  readonly start: number;
  readonly length: number;
  readonly symbol: string;
  readonly bar: number;
}

/** Chord symbols bar by bar: `1 Em | Am:2 B7:1 | C D`; without lengths the bar is shared out evenly. */
export function chords(bars: BarList, text: string): ChordSpan[] {
  let before = '';
  return [...barTexts(text)].flatMap(([number, given]) => {
    const words = given === '%' ? before : given;
    before = words;
    const symbols = words.split(/\s+/).filter((each) => each !== '');
    const bar = barNumbered(bars, number);
    let { start } = bar;
    return symbols.map((word) => {
      const [symbol = '', size] = word.split(':');
      const length = size === undefined ? bar.length / symbols.length : sizeOf(size);
      const span = { start, length, symbol, bar: number };
      start += length;
      return span;
    });
  });
}

/** Pitch names of a chord, root first, and its bass. */
function chordNames(symbol: string): { readonly names: readonly string[]; readonly bass: string } {
  const [plain = '', under] = symbol.split('/');
  const { notes } = Chord.get(plain);
  const [root] = notes;
  if (root === undefined) throw new Error(`not a chord: ${symbol}`);
  return { names: notes, bass: under ?? root };
}

/** The key by the name that one of these has. */
function spelled(midi: number, names: readonly string[]): string {
  const name = names.find((each) => Note.chroma(each) === midi % 12);
  const octave = Math.floor(midi / 12) - 1;
  const found = [octave - 1, octave, octave + 1].map((each) => `${name ?? ''}${String(each)}`);
  return (name === undefined ? undefined : found.find((each) => Note.midi(each) === midi)) ?? Note.fromMidi(midi);
}

function chroma(name: string): number {
  const found = Note.chroma(name);
  if (!Number.isFinite(found)) throw new Error(`not a pitch name: ${name}`);
  return found;
}

function lineOver(spans: readonly ChordSpan[], keys: readonly number[]): Written[] {
  return spans.map(({ start, length, symbol, bar }, index) => {
    const midi = keys[index] ?? 60;
    const { names, bass } = chordNames(symbol);
    return { start, length, midi, pitch: spelled(midi, [...names, bass]), bar, short: false, stressed: false };
  });
}

function tuneSteps(spans: readonly ChordSpan[], tune: Line): TuneStep[] {
  return spans.map(({ start }) => ({
    before: tune.findLast((note) => note.start < start - CLOSE)?.midi,
    after: tune.find((note) => note.start >= start - CLOSE)?.midi,
  }));
}

/**
 * Four parts over the chords, from the highest down, one note a chord, led smoothly and `under` semitones below the tune where
 * there is one.
 */
export function fourParts(
  spans: readonly ChordSpan[],
  tonic: string,
  compasses: readonly Compass[],
  tune: Line = [],
  under = 1,
): Written[][] {
  const planned = spans.map(({ symbol }) => {
    const { names, bass } = chordNames(symbol);
    const above = (name: string): number => (chroma(name) - chroma(tonic) + 12) % 12;
    return { root: above(names[0] ?? tonic), tones: names.map(above), bass: above(bass) };
  });
  const ceilings = spans.map(({ start, length }) =>
    Math.min(
      127,
      ...tune
        .filter((note) => note.start < start + length - CLOSE && note.start + note.length > start + CLOSE)
        .map((note) => note.midi - under),
    ),
  );
  const settings = smoothest(planned, 60 + chroma(tonic), compasses, ceilings, tuneSteps(spans, tune));
  return [0, 1, 2, 3].map((voice) =>
    lineOver(
      spans,
      settings.map((setting) => setting[voice] ?? 60),
    ),
  );
}

function nearest(name: string, near: number): number {
  return near + ((((chroma(name) - near + 6) % 12) + 12) % 12) - 6;
}

/** The bass notes of the chords, nearest to a key. */
export function basses(spans: readonly ChordSpan[], near: number): Written[] {
  return lineOver(
    spans,
    spans.map(({ symbol }) => nearest(chordNames(symbol).bass, near)),
  );
}

/** A bass that walks in quarters: the root, tones of the chord, a step into the next root. */
export function walking(bars: BarList, spans: readonly ChordSpan[], low: number, high: number): Written[] {
  const made: Written[] = [];
  const middle = (low + high) / 2;
  const near = (name: string, from: number): number => {
    const found = nearest(name, from);
    return found < low ? found + 12 : found > high ? found - 12 : found;
  };
  let last = Math.round(middle) - 3;
  spans.forEach((span, index) => {
    const { names, bass } = chordNames(span.symbol);
    const { bass: nextName } = chordNames(spans[index + 1]?.symbol ?? span.symbol);
    const beats = Math.round(span.length);
    const keys = [near(bass, last)];
    const rising = (keys[0] ?? middle) < middle;
    for (let beat = 1; beat < beats - 1; beat++) {
      const name = names[(rising ? beat : names.length - beat) % names.length] ?? bass;
      keys.push(near(name, (keys.at(-1) ?? middle) + (rising ? 3 : -3)));
    }
    if (beats > 1) {
      const before = keys.at(-1) ?? middle;
      const target = near(nextName, before);
      const approach = target + (target <= before ? 1 : -1);
      keys.push(approach === before ? target + (target <= before ? 2 : -2) : approach);
    }
    keys.forEach((midi, beat) => {
      const place = { start: span.start + beat, length: 1 };
      made.push(noteOf(bars, spelled(midi, [...names, bass, nextName]), place));
    });
    last = keys.at(-1) ?? last;
  });
  return made;
}

/** Third, fifth, seventh and ninth of the chords in close position about a key, from the highest down: what is played over a bass. */
export function rootless(spans: readonly ChordSpan[], near: number): Written[][] {
  const columns = spans.map(({ symbol }) => {
    const { names } = chordNames(symbol);
    const [root = 'C', third = 'E', fifth = 'G', seventh] = names;
    const isDiminished = symbol.includes('b5') || symbol.includes('dim');
    const ninth = names[4] ?? (isDiminished ? root : Note.transpose(root, '2M'));
    return [third, fifth, seventh ?? Note.transpose(root, '6M'), ninth]
      .map((name) => ({ midi: nearest(name, near), name }))
      .sort((a, b) => b.midi - a.midi);
  });
  return [0, 1, 2, 3].map((voice) =>
    spans.map(({ start, length, bar }, index) => {
      const { midi, name } = columns[index]?.[voice] ?? { midi: 60, name: 'C' };
      return { start, length, midi, pitch: spelled(midi, [name]), bar, short: false, stressed: false };
    }),
  );
}

/**
 * Block harmony under a tune, the tune first: the next tones of the chord below each of its notes, none within a semitone of it; a
 * triad has its sixth added. With `drop` the second from above goes down an octave.
 */
export function blocks(tune: Line, spans: readonly ChordSpan[], drop = false): Written[][] {
  const lines: Written[][] = [[], [], [], []];
  for (const note of tune) {
    const span = spans.findLast(({ start }) => start <= note.start + CLOSE) ?? spans[0];
    const { names } = chordNames(span?.symbol ?? 'C');
    const full = names.length > 3 ? names.slice(0, 4) : [...names, Note.transpose(names[0] ?? 'C', '6M')];
    const keys: number[] = [];
    for (let key = note.midi - 2; keys.length < 3 && key > note.midi - 14; key--) {
      if (full.some((name) => chroma(name) === key % 12)) keys.push(key);
    }
    const [second = 0, ...rest] = keys;
    const below = drop ? [...rest, second - 12] : [second, ...rest];
    lines[0]?.push(note);
    below.forEach((midi, index) => lines[index + 1]?.push({ ...note, midi, pitch: spelled(midi, full) }));
  }
  return lines;
}
