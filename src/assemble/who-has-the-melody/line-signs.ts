/** What a stretch of a line shows by itself: how varied, how figured, how held it is. */
import type { Bar } from '../../model/music/timeline.ts';
import { pulseQuarters } from '../../model/music/timeline.ts';
import type { LineNote } from './line.ts';

export interface LineSigns {
  /** Onsets a beat, up to two, halved. */
  readonly density: number;
  /** What goes beyond two onsets a beat, halved: figuration. */
  readonly runs: number;
  /** Steps and thirds 1, leaps up to the octave half; share of the intervals. */
  readonly stepwise: number;
  /** Entropy in bits over 3 of pitches and of intervals, over 2 of rhythm (time from onset to onset). */
  readonly pitchEntropy: number;
  readonly intervalEntropy: number;
  readonly rhythmEntropy: number;
  /** Share of pairs of intervals that leap a third or more and turn back: broken chords. */
  readonly zigzag: number;
  /** Share of intervals that repeat the note. */
  readonly repeated: number;
  /** Share of the time in notes of three beats and more. */
  readonly held: number;
  /** Share of onsets off the beat with nothing on the beat before. */
  readonly offBeat: number;
  /** Further notes that start with each, up to two, halved: chords. */
  readonly chords: number;
}

const BIG_LEAP = 3;
const HELD_BEATS = 2.8;

function entropy(items: readonly number[]): number {
  const counts = new Map<number, number>();
  for (const item of items) counts.set(item, (counts.get(item) ?? 0) + 1);
  let bits = 0;
  for (const count of counts.values()) bits -= (count / items.length) * Math.log2(count / items.length);
  return bits;
}

function share(count: number, all: number): number {
  return all === 0 ? 0 : count / all;
}

/** Signs of notes of a line that belong together; at least one. */
export function lineSigns(notes: readonly LineNote[], bars: readonly Bar[]): LineSigns {
  const [first] = notes;
  const bar = bars[first?.bar ?? 0];
  const last = notes.at(-1);
  const beat = bar === undefined ? 1 : pulseQuarters(bar.meter);
  const beats = Math.max(1, ((last?.endQuarters ?? 0) - (first?.startQuarters ?? 0)) / beat);
  const intervals = notes.slice(1).map((note, index) => note.midi - (notes[index]?.midi ?? 0));
  // Rhythm in quarters of a beat, so that uneven playing makes no rhythm of its own.
  const steps = notes.slice(1).map((note, index) => note.startQuarters - (notes[index]?.startQuarters ?? 0));
  const rhythm = steps.map((step) => Math.min(16, Math.round((4 * step) / beat)));
  const turns = intervals.slice(1).filter((own, index) => {
    const before = intervals[index] ?? 0;
    return Math.abs(own) >= BIG_LEAP && Math.abs(before) >= BIG_LEAP && own * before < 0;
  });
  const lengths = notes.map(({ startQuarters, endQuarters }) => endQuarters - startQuarters);
  const sounding = lengths.reduce((sum, length) => sum + length, 0);
  const off = notes.filter(({ startQuarters, bar: index }, place) => {
    const within = (startQuarters - (bars[index]?.startQuarters ?? 0)) / beat;
    const after = within - Math.floor(within + 0.12);
    const before = notes[place - 1];
    return after > 0.2 && (before === undefined || startQuarters - before.startQuarters > (after + 0.15) * beat);
  });
  const onsets = notes.length / beats;
  return {
    density: Math.min(2, onsets) / 2,
    runs: Math.min(2, Math.max(0, onsets - 2)) / 2,
    stepwise: share(
      intervals.reduce((sum, own) => sum + (own === 0 || Math.abs(own) > 12 ? 0 : Math.abs(own) <= 4 ? 1 : 0.5), 0),
      intervals.length,
    ),
    pitchEntropy: entropy(notes.map(({ midi }) => midi)) / 3,
    intervalEntropy: intervals.length === 0 ? 0 : entropy(intervals) / 3,
    rhythmEntropy: rhythm.length === 0 ? 0 : entropy(rhythm) / 2,
    zigzag: share(turns.length, intervals.length - 1),
    repeated: share(intervals.filter((own) => own === 0).length, intervals.length),
    held: share(
      lengths.filter((length) => length >= HELD_BEATS * beat).reduce((sum, length) => sum + length, 0),
      sounding,
    ),
    offBeat: share(off.length, notes.length),
    chords:
      Math.min(
        2,
        share(
          notes.reduce((sum, { voices }) => sum + voices - 1, 0),
          notes.length,
        ),
      ) / 2,
  };
}

/** Share of the bars of a line that say the same as the bar before, or the one before that, at whatever pitch (an ostinato, a figure). */
export function repetitionByBar(line: readonly LineNote[], bars: readonly Bar[]): Float64Array {
  const patterns = bars.map((): string[] => []);
  const firsts = new Int16Array(bars.length).fill(-1);
  for (const { midi, startQuarters, bar } of line) {
    if ((firsts[bar] ?? -1) < 0) firsts[bar] = midi;
    const place = Math.round(4 * (startQuarters - (bars[bar]?.startQuarters ?? 0)));
    patterns[bar]?.push(`${String(place)}:${String(Math.sign(midi - (firsts[bar] ?? 0)))}`);
  }
  return Float64Array.from(patterns, (pattern, index) => {
    if (pattern.length === 0) return 0;
    const own = pattern.join(' ');
    return own === patterns[index - 1]?.join(' ') || own === patterns[index - 2]?.join(' ') ? 1 : 0;
  });
}
