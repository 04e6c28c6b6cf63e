/**
 * Staccato dots: notes that sound for about half of what is written, or less, by habit and not by chance. A dot halves a value (C. P. E. Bach,
 * Versuch I, 1753; D. G. Türk, Klavierschule, 1789; both from memory). Shares and counts are ours, set on the folders of the tuning half.
 */
import type { Part } from '../../model/music/arrangement.ts';
import { groupedBy } from '../../model/grouped.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { secondAt } from '../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import { STRUCK_FAMILIES, STRUCK_WORDS } from './dying-away.ts';
import { LONGEST_DOTTED } from './value-candidates.ts';

/** A note at its written place; `index` into the part's notes. */
export interface ValuedNote {
  readonly index: number;
  readonly start: number;
  readonly end: number;
  readonly staff: number;
}

/** Where half of the notes sound for no more of their value than this they are short, all but those that sound for more than that. */
const SHORT_SHARE = 0.6;
const DOUBTFUL_SHARE = 0.8;
/** A chord of the other hand is as short as this. */
const ALIKE_SHARE = 0.66;
/** A shorter silence than this is the lift between two notes: the hand needs it. */
const LEAST_GAP_MS = 64;
/** So many chords before and after have the same habit, within so much time (four whole notes). */
const NEAR = 12;
const NEAR_DIVISIONS = 7680;
/** Whether they are short or only lifted is asked of more of those that may be short. */
const FAR = 48;
/** As many of one value make a habit. */
const FEWEST = 4;
/** What dies away says little by when it is damped, but a hand on a fretted neck damps on purpose. */
const DAMPED = new Set(['guitar', 'banjo', 'ukulele']);

interface Chord {
  readonly notes: readonly number[];
  readonly start: number;
  readonly value: number;
  /** Share of its value that it sounds, and the silence after it. */
  readonly share: number;
  readonly gapMs: number;
}

/** Indices of the notes of a part that have a dot. */
export function staccatoOf(part: Part, timeline: Timeline, notes: readonly ValuedNote[]): ReadonlySet<number> {
  const dotted = new Set<number>();
  if (part.unpitched || (STRUCK_FAMILIES.has(part.family) && !DAMPED.has(part.instrument))) return dotted;
  for (const [, own] of groupedBy(notes, ({ staff }) => staff)) {
    const chords = chordsOf(part, timeline, own);
    const short = new Set(chords.filter((_, place) => isShortHere(near(chords, place))));
    chords.forEach((chord, place) => {
      if (!short.has(chord) || chord.share > DOUBTFUL_SHARE) return;
      const gaps = around(chords, place, FAR).flatMap((other) => (short.has(other) ? [-other.gapMs] : []));
      if (middle(gaps) <= -LEAST_GAP_MS) for (const index of chord.notes) dotted.add(index);
    });
  }
  for (const index of inBothHands(part, timeline, notes, dotted)) dotted.add(index);
  return dotted;
}

/** What one hand strikes with a dotted chord of the other, as long and nearly as short, has the dot too. */
function inBothHands(
  part: Part,
  timeline: Timeline,
  notes: readonly ValuedNote[],
  dotted: ReadonlySet<number>,
): readonly number[] {
  const spans = new Set(notes.filter(({ index }) => dotted.has(index)).map(spanKey));
  const others = notes.filter((note) => !dotted.has(note.index) && spans.has(spanKey(note)));
  return chordsOf(part, timeline, others).flatMap((chord) => (chord.share <= ALIKE_SHARE ? chord.notes : []));
}

function spanKey({ start, end }: ValuedNote): string {
  return `${String(start)}:${String(end)}`;
}

function chordsOf(part: Part, timeline: Timeline, notes: readonly ValuedNote[]): Chord[] {
  const msAt = (division: number): number => 1000 * secondAt(timeline, division / DIVISIONS_PER_QUARTER);
  return [...groupedBy(notes, spanKey).values()]
    .map((own): Chord => {
      const [{ start, end } = { start: 0, end: 1 }] = own;
      const lengthMs = Math.max(1, msAt(end) - msAt(start));
      // Beside the real time stands the clock on which swung beats are even: people hold their share of either.
      const held = own.map(({ index }) => {
        const note = part.notes[index];
        if (note === undefined || STRUCK_WORDS.test(part.tracks[note.trackIndex]?.articulation ?? ''))
          return [Infinity, Infinity];
        const ringsMs = 1000 * (note.soundingEndSecond - note.endSecond);
        const ms = 1000 * (note.endSecond - note.startSecond) + ringsMs;
        const clock = ringsMs > 1 ? Infinity : (note.endQuarters - note.startQuarters) * DIVISIONS_PER_QUARTER;
        return [ms / lengthMs, clock / (end - start)];
      });
      const share = Math.min(
        middle(held.map(([inTime = 1]) => inTime)),
        middle(held.map(([, onClock = 1]) => onClock)),
      );
      return {
        notes: own.map(({ index }) => index),
        start,
        value: end - start,
        share,
        gapMs: lengthMs * (1 - share),
      };
    })
    .sort((a, b) => a.start - b.start);
}

/** So many chords before and after one that are as long as it, and itself. */
function around(chords: readonly Chord[], place: number, count: number): Chord[] {
  const { value } = chords[place] as Chord;
  return chords.slice(Math.max(0, place - count), place + count + 1).filter((other) => other.value === value);
}

function near(chords: readonly Chord[], place: number): Chord[] {
  const { start } = chords[place] as Chord;
  return around(chords, place, NEAR).filter((other) => Math.abs(other.start - start) <= NEAR_DIVISIONS);
}

function middle(numbers: readonly number[]): number {
  return [...numbers].sort((a, b) => a - b)[numbers.length >> 1] ?? Infinity;
}

/** Whether chords of one value, near one another, are short by habit. */
function isShortHere(alike: readonly Chord[]): boolean {
  return (
    alike.length >= FEWEST &&
    (alike[0]?.value ?? Infinity) <= LONGEST_DOTTED &&
    middle(alike.map(({ share }) => share)) <= SHORT_SHARE
  );
}
