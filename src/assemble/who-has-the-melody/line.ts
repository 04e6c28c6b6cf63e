/** A part as one line, cut into phrases. */
import type { PlayedNote } from '../../model/music/arrangement.ts';
import { median } from '../../model/music/dynamics.ts';
import type { Bar } from '../../model/music/timeline.ts';
import { barIndexAt, pulseQuarters } from '../../model/music/timeline.ts';

/** The highest of what starts together. */
export interface LineNote {
  readonly midi: number;
  readonly velocity: number;
  readonly startQuarters: number;
  readonly endQuarters: number;
  /** How many notes start together. */
  readonly voices: number;
  readonly bar: number;
}

/** Notes `first` to `last` of the line, both included. */
export interface LinePhrase {
  readonly first: number;
  readonly last: number;
  readonly startQuarters: number;
  readonly endQuarters: number;
}

/** Onsets closer than this are one. */
const CHORD_QUARTERS = 0.05;
/**
 * Rests and long notes are the first signs of a boundary (Lerdahl and Jackendoff 1983, grouping preference rule 2); a rest of a beat, a note of two
 * beats and twice the usual. The figures are ours.
 */
const REST_BEATS = 0.9;
const LONG_BEATS = 1.9;
const LONG_RATIO = 1.9;
/** A long note ends a phrase only after so many bars: a tune may begin with one. */
const FEWEST_BARS = 1.5;

export function lineOf(notes: readonly PlayedNote[], bars: readonly Bar[]): readonly LineNote[] {
  const line: LineNote[] = [];
  for (const { midi, velocity, startQuarters, endQuarters } of notes) {
    const last = line.at(-1);
    if (last === undefined || startQuarters - last.startQuarters > CHORD_QUARTERS)
      line.push({ midi, velocity, startQuarters, endQuarters, voices: 1, bar: barIndexAt(bars, startQuarters) });
    else if (midi > last.midi)
      line[line.length - 1] = { ...last, midi, velocity, endQuarters, voices: last.voices + 1 };
    else line[line.length - 1] = { ...last, voices: last.voices + 1 };
  }
  return line;
}

export function phrasesOf(line: readonly LineNote[], bars: readonly Bar[]): readonly LinePhrase[] {
  const steps = line.slice(1).map((note, index) => note.startQuarters - (line[index]?.startQuarters ?? 0));
  const usual = median(steps) ?? 1;
  const phrases: LinePhrase[] = [];
  let first = 0;
  let end = Number.NEGATIVE_INFINITY;
  line.forEach((note, index) => {
    end = Math.max(end, note.endQuarters);
    const next = line[index + 1];
    const bar = bars[note.bar];
    if (bar === undefined) return;
    const beat = pulseQuarters(bar.meter);
    const start = line[first]?.startQuarters ?? 0;
    const step = (next?.startQuarters ?? Infinity) - note.startQuarters;
    const isRest = (next?.startQuarters ?? Infinity) - end >= REST_BEATS * beat;
    const isLong =
      step >= LONG_BEATS * beat &&
      step >= LONG_RATIO * usual &&
      note.startQuarters - start >= FEWEST_BARS * bar.lengthQuarters;
    if (!isRest && !isLong) return;
    phrases.push({ first, last: index, startQuarters: start, endQuarters: end });
    first = index + 1;
    end = Number.NEGATIVE_INFINITY;
  });
  return phrases;
}
