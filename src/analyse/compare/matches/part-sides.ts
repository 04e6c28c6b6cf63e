/** A part in both stages, in the bars of the later one, and where it sounds there. */
import type { Bar } from '../../../model/music/timeline.ts';
import { barIndexAt } from '../../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import type { BarNote, HeldNote, LazyNotes, NotesByBar } from '../bars/bar-notes.ts';
import type { NoteMatch } from './match-notes.ts';

/** Two sides of one part in the later stage's bars. */
export interface PartSides {
  readonly partId: string;
  readonly before: LazyNotes;
  readonly after: LazyNotes;
  readonly match: NoteMatch;
  readonly bars: readonly Bar[];
  /** True where it is one part in either stage: only then are levels compared. */
  readonly isOne: boolean;
  /** Where the music stands at another pitch: the part alone, or all that sounds. */
  readonly transposed?: 'alone' | 'with all';
  /** By bar index of the later stage. */
  readonly secondsPerQuarter: (bar: number) => number;
  /** Which bar of one stage is which of the other, by index; less than 0 where there is none. */
  readonly beforeOf: readonly number[];
  readonly afterOf: readonly number[];
  /** Estimated levels of the part by bar index of its own stage; Infinity, or none, where it is silent or nothing was estimated. */
  readonly levelBefore: Float64Array;
  readonly levelAfter: Float64Array;
  /** True where a missing level is silence; by bar index of the later stage. */
  readonly isMeasured: (bar: number) => boolean;
  /** True where the part was played in anew. */
  readonly isAnew: boolean;
}

/** Indices of the bars under a note. */
export function barsUnder(bars: readonly Bar[], from: number, to: number): readonly number[] {
  const first = Math.max(0, barIndexAt(bars, from / DIVISIONS_PER_QUARTER));
  const under = [first];
  // Most notes end in their bar: walking on is cheaper than searching again.
  for (let bar = first + 1; (bars[bar]?.startQuarters ?? Infinity) * DIVISIONS_PER_QUARTER <= to - 1 + 1e-3; bar++) {
    under.push(bar);
  }
  return under;
}

/** Index of the last bar under a note of these bars; the first is its own. */
export function lastBarUnder(bars: readonly Bar[], { bar, start, length }: HeldNote): number {
  const end = start + length - 1 + 1e-3;
  let last = bar;
  while ((bars[last + 1]?.startQuarters ?? Infinity) * DIVISIONS_PER_QUARTER <= end) last++;
  return last;
}

/** Indices of the bars under a note of these bars. */
export function barsUnderNote(bars: readonly Bar[], note: BarNote): readonly number[] {
  return Array.from({ length: lastBarUnder(bars, note) - note.bar + 1 }, (_, index) => note.bar + index);
}

/** A note that is held into a bar for less is let go late, and does not sound there. */
export const LEAST_HELD_DIVISIONS = DIVISIONS_PER_QUARTER;

/** Divisions for which a note sounds in a bar. */
export function overlapWith({ start, length }: HeldNote, bar: Bar | undefined): number {
  if (bar === undefined) return 0;
  const from = bar.startQuarters * DIVISIONS_PER_QUARTER;
  return Math.min(start + length, from + bar.lengthQuarters * DIVISIONS_PER_QUARTER) - Math.max(start, from);
}

/** Some bars, by index. */
export interface BarSet {
  readonly has: (bar: number) => boolean;
}

/** Indices of the bars in which a part sounds. */
export function soundingBars(notes: NotesByBar, bars: readonly Bar[]): BarSet {
  return soundingIn(notes, bars, LEAST_HELD_DIVISIONS);
}

/** Those too into which a note is let go late. */
export function barsUnderNotes(notes: NotesByBar, bars: readonly Bar[]): BarSet {
  return soundingIn(notes, bars, -Infinity);
}

/** The bars in which notes begin, and those into which they are held for so many divisions: looked for once a bar without a beginning is asked. */
function soundingIn(notes: NotesByBar, bars: readonly Bar[], leastDivisions: number): BarSet {
  let held: Uint8Array | undefined;
  return {
    has: (bar) =>
      (notes.counts[bar] ?? 0) > 0 || (held ??= heldIn(notes.heldOver(bars), bars, leastDivisions))[bar] === 1,
  };
}

function heldIn(notes: readonly HeldNote[], bars: readonly Bar[], leastDivisions: number): Uint8Array {
  const held = new Uint8Array(bars.length);
  for (const note of notes) {
    const last = lastBarUnder(bars, note);
    for (let under = note.bar; under <= last; under++) {
      if (overlapWith(note, bars[under]) >= leastDivisions) held[under] = 1;
    }
  }
  return held;
}

/** Bar numbers by ascending index. */
export function numbersOf(bars: readonly Bar[], indices: Iterable<number>): readonly number[] {
  const sorted = new Int32Array([...indices]).sort();
  const numbers: number[] = [];
  for (let at = 0; at < sorted.length; at++) {
    const number = bars[sorted[at] ?? -1]?.number;
    if (number !== undefined) numbers.push(number);
  }
  return numbers;
}
