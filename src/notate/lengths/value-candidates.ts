/** The values that a note may be written with, and how dear each is to read: figures, ties, rests, silence held over a bar line. */
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import type { Way } from './sounded.ts';
import { splitStraight } from '../note-values/note-values.ts';
import type { Measure } from './playing-manners.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { SHORTEST, barIndexAtDivision, beatAt, cellIndexAtDivision } from '../score-time/score-time.ts';
import type { Subdivision } from '../rhythm/subdivisions.ts';
import { endSlots } from '../rhythm/subdivisions.ts';

/** What it costs to read, in nats (ours, set on the tuning half). */
const REST = 1.5;
const ANOTHER_FIGURE = 0.7;
const ANOTHER_REST = 0.5;
/** A rest of less than an eighth, and of less than a sixteenth. */
const SHORT_REST = 0.6;
const SHORTER_REST = 2.5;
/** A tie into a bar in which nothing sounds. */
const TIED_INTO_SILENCE = 4;
const NOTHING_FOLLOWS = 0.1;
/** A key let go so little after a bar line, in divisions (a thirty-second), into silence is let go at it: nobody counts a tie of a hair. */
const HAIR = DIVISIONS_PER_QUARTER / 8;
/** A note that ends between the beats, though it did not begin so. */
const OFF_BEAT = 1.2;
const EIGHTH = DIVISIONS_PER_QUARTER / 2;
const BEAT_OF_THREE = 3 * EIGHTH;
/** Figures of a triplet or a run that are not counted one by one. */
const INSIDE_TUPLET = 2;

/** The longest that a value may be beside what was played, as a factor and in divisions, and the shortest. */
const LONGEST_FACTOR = 1.75;
const LONGEST_BEYOND = 720;
const SHORTEST_FACTOR = 0.72;
/** Up to here a value may be played at half of its length. */
const LONGEST_SHORT = 960;
/** Nothing longer than this is written with a dot, in divisions: a dotted quarter. */
export const LONGEST_DOTTED = 720;
const SHORT_FACTOR = 2.6;

/** What stretches of a bar need, by start, end and kind; bars of one kind share it. */
type Counts = Map<number, number>;

const known = new WeakMap<ScoreTime, readonly Counts[]>();

function countsByBar(time: ScoreTime): readonly Counts[] {
  const found = known.get(time);
  if (found !== undefined) return found;
  const kinds = new Map<string, Counts>();
  const counts = time.bars.map(({ meter, length, number }) => {
    const kind = `${String(meter.numerator)}/${String(meter.denominator)}:${String(length)}:${String(number === 0)}`;
    const own = kinds.get(kind) ?? new Map<number, number>();
    kinds.set(kind, own);
    return own;
  });
  known.set(time, counts);
  return counts;
}

/** Figures of a note from one place to another, ties over bar lines counted. */
function figuresOf(time: ScoreTime, from: number, to: number, isRest: boolean): number {
  const byBar = countsByBar(time);
  let figures = 0;
  for (let index = barIndexAtDivision(time, from); index < time.bars.length; index++) {
    const bar = time.bars[index];
    const counts = byBar[index];
    if (bar === undefined || counts === undefined || bar.start >= to) break;
    const start = Math.max(0, from - bar.start);
    const end = Math.min(bar.length, to - bar.start);
    if (start % SHORTEST !== 0 || end % SHORTEST !== 0) figures += INSIDE_TUPLET;
    else {
      const key = 2 * (start * (bar.length + 1) + end) + (isRest ? 1 : 0);
      let count = counts.get(key);
      if (count === undefined) {
        count = splitStraight(bar, start, end, isRest).length;
        counts.set(key, count);
      }
      figures += count;
    }
    // Rests of whole bars are no effort.
    if (isRest) break;
  }
  return figures;
}

/** First beat border after an onset that is not before `from`. */
export function borderAfter(time: ScoreTime, onset: number, from: number): number {
  for (let index = cellIndexAtDivision(time, onset); index < time.cells.length; index++) {
    const cell = time.cells[index];
    const border = (cell?.start ?? 0) + (cell?.length ?? 0);
    if (border > onset && border >= from) return border;
  }
  return time.end;
}

export interface Beginning {
  readonly onset: number;
  /** The first onset on its staff, from a place on, that may follow it. */
  readonly nextFrom: (end: number) => number | undefined;
  /** Played length in divisions. */
  readonly held: number;
  /** No value ends later than this. */
  readonly limit: number;
  /** How the playing is measured by a value that ends there. */
  readonly measuresTo: (end: number) => readonly Measure[];
  /** Chosen subdivisions of its staff by cell. */
  readonly chosen: ReadonlyMap<number, Subdivision> | undefined;
}

/** Places where a note may end, in order: beats and the slots of the beats' own subdivisions. */
function endsOpen(time: ScoreTime, { onset, held, limit, chosen }: Beginning): number[] {
  const shortest = onset + SHORTEST_FACTOR * held;
  const longest = Math.min(
    limit,
    Math.max(
      onset + Math.min(LONGEST_FACTOR * held, held + LONGEST_BEYOND),
      onset + Math.min(SHORT_FACTOR * held, LONGEST_SHORT),
      borderAfter(time, onset, onset),
    ),
  );
  const ends: number[] = [];
  for (let index = cellIndexAtDivision(time, onset); index < time.cells.length; index++) {
    const cell = time.cells[index];
    if (cell === undefined || cell.start > longest) break;
    if (cell.start + cell.length < shortest) continue;
    for (const slot of endSlots(cell.length, chosen?.get(index))) {
      const end = cell.start + slot;
      if (end > onset && end >= shortest && end <= longest && ends.at(-1) !== end) ends.push(end);
    }
  }
  if (ends.length === 0) ends.push(longest);
  return ends;
}

/** On a beat, so many whole beats (`beat`) after the onset, or on an eighth of a beat of three. */
function isEasyEnd(time: ScoreTime, onset: number, end: number, beat: number): boolean {
  const cell = time.cells[cellIndexAtDivision(time, end)];
  const within = end - (cell?.start ?? end);
  return within === 0 || (end - onset) % beat === 0 || (cell?.length === BEAT_OF_THREE && within % EIGHTH === 0);
}

/** Plain values only: who hears three eighths cut short hears a quarter and a rest, and that is what is written (common practice, no source). */
export function mayBeShort(value: number): boolean {
  return value % BEAT_OF_THREE !== 0 && value % (BEAT_OF_THREE / 2) !== 0;
}

/** All ways to write the value of a note that ends with one of those that follow, or before it. */
export function waysOf(time: ScoreTime, beginning: Beginning): Way[] {
  const { onset, nextFrom, held, limit, measuresTo } = beginning;
  const bar = time.bars[barIndexAtDivision(time, onset)];
  const barEnd = bar === undefined ? time.end : bar.start + bar.length;
  const silentAtBarLine = onset + held < barEnd + HAIR;
  const beat = beatAt(time, onset);
  const ends = endsOpen(time, beginning);
  if (nextFrom(limit) === limit && ends.at(-1) !== limit) ends.push(limit);
  return ends.map((end): Way => {
    const measures = measuresTo(end);
    const tied = end > barEnd && silentAtBarLine ? TIED_INTO_SILENCE : 0;
    const count = figuresOf(time, onset, end, false);
    const canBeShort = count === 1 && end - onset <= LONGEST_DOTTED && mayBeShort(end - onset);
    const figures = ANOTHER_FIGURE * (count - 1) + tied;
    const next = nextFrom(end);
    if (next === end) return { end, measures, cost: figures, follows: true, canBeShort };
    const off = isEasyEnd(time, onset, end, beat) ? 0 : OFF_BEAT;
    if (next === undefined) return { end, measures, cost: figures + off + NOTHING_FOLLOWS, follows: false, canBeShort };
    const rests = figuresOf(time, end, next, true) - 1;
    const first = Math.min(next, borderAfter(time, end, end)) - end;
    const short = first < DIVISIONS_PER_QUARTER / 4 ? SHORTER_REST : first < DIVISIONS_PER_QUARTER / 2 ? SHORT_REST : 0;
    return { end, measures, cost: figures + off + REST + ANOTHER_REST * rests + short, follows: false, canBeShort };
  });
}
