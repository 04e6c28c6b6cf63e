/** Notes of one part in two stages: which are the same, which came and which went. */
import type { Bar } from '../../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { barStarts, type BarNote } from '../bars/bar-notes.ts';
import { ROUNDING } from '../bars/note-columns.ts';

/** Notes of bars in which all are written and played as before, and some struck or set otherwise. */
export interface RestruckNotes {
  readonly count: number;
  /** The earlier and the later ones, listed once somebody asks: a note has the same place in both. */
  readonly pairs: () => readonly [readonly BarNote[], readonly BarNote[]];
  /** True where something in the file makes them louder and softer besides the keys struck. */
  readonly haveCurves: boolean;
  /** 1 at each of the later stage's bars, given in full, under a note that is struck otherwise. */
  readonly struckBars: (bars: readonly Bar[]) => Uint8Array;
}

/** Notes that both stages have, in bars that were set apart as they are written and played as before. */
export interface SameNotes {
  /** How many of them are the very same notes: whole bars in which nothing differs. */
  readonly sameCount: number;
  /** Those notes, listed once somebody asks. */
  readonly same: () => readonly BarNote[];
  readonly restruck: RestruckNotes;
}

/** Notes that both stages have. */
export interface KeptNotes extends SameNotes {
  /** The others, in columns: a note has the same place in all of them. */
  readonly before: readonly BarNote[];
  readonly after: readonly BarNote[];
  /** How much later it is played, in seconds; NaN where one of the two has no performance. */
  readonly laterSeconds: readonly number[];
  /** Places of those whose written length is another by a thirty-second or more, and that are also played so; ascending. */
  readonly lengthened: readonly number[];
}

export interface NoteMatch {
  readonly kept: KeptNotes;
  readonly lost: readonly BarNote[];
  readonly gained: readonly BarNote[];
  /** Of either stage: notes that the other one has not as such, as the same strokes read otherwise there. */
  readonly reread?: readonly BarNote[];
}

/** How many notes both stages have. */
export function countOf({ sameCount, restruck, after }: KeptNotes): number {
  return sameCount + restruck.count + after.length;
}

const NONE_RESTRUCK: RestruckNotes = {
  count: 0,
  pairs: () => [[], []],
  haveCurves: false,
  struckBars: (bars) => new Uint8Array(bars.length),
};

function joinedRestruck(lists: readonly RestruckNotes[]): RestruckNotes {
  const some = lists.filter(({ count }) => count > 0);
  const [only = NONE_RESTRUCK, another] = some;
  if (another === undefined) return only;
  return {
    count: some.reduce((sum, { count }) => sum + count, 0),
    pairs: () => [some.flatMap(({ pairs }) => pairs()[0]), some.flatMap(({ pairs }) => pairs()[1])],
    haveCurves: some.some(({ haveCurves }) => haveCurves),
    struckBars: (bars) => {
      const marks = some.map(({ struckBars }) => struckBars(bars));
      return Uint8Array.from(bars, (_, bar) => (marks.some((own) => own[bar] === 1) ? 1 : 0));
    },
  };
}

/** Several lists of kept notes as one. */
export function joinedNotes(lists: readonly KeptNotes[]): KeptNotes {
  const [only, another] = lists;
  if (only !== undefined && another === undefined) return only;
  let count = 0;
  let sameCount = 0;
  const lengthened: number[] = [];
  for (const list of lists) {
    for (const place of list.lengthened) lengthened.push(count + place);
    count += list.after.length;
    sameCount += list.sameCount;
  }
  return {
    sameCount,
    same: () => lists.flatMap(({ same }) => same()),
    restruck: joinedRestruck(lists.map(({ restruck }) => restruck)),
    before: lists.flatMap(({ before }) => before),
    after: lists.flatMap(({ after }) => after),
    laterSeconds: lists.flatMap((list) => list.laterSeconds),
    lengthened,
  };
}

/** Notes moved or stretched by less than a thirty-second are the same notes. */
export const TOLERANCE_DIVISIONS = DIVISIONS_PER_QUARTER / 8;
/** Onsets as played, as transcriptions of music are commonly scored (mir_eval: 50 ms; ends 50 ms or a fifth of the length). */
const PLAYED_TOLERANCE_SECONDS = 0.05;
const PLAYED_TOLERANCE_SHARE = 0.2;

function laterSeconds(one: BarNote, other: BarNote, secondsPerQuarter: number): number {
  if (one.playedOnset === undefined || other.playedOnset === undefined) return Number.NaN;
  const barsApart = (other.start - other.onset - one.start + one.onset) / DIVISIONS_PER_QUARTER;
  return (barsApart + other.playedOnset - one.playedOnset) * secondsPerQuarter;
}

function endsAlike(one: BarNote, other: BarNote, secondsPerQuarter: number): boolean {
  if (Math.abs(one.start + one.length - other.start - other.length) < TOLERANCE_DIVISIONS) return true;
  if (one.playedLength === undefined || other.playedLength === undefined) return false;
  const difference = Math.abs(one.playedLength - other.playedLength) * secondsPerQuarter;
  const tolerance = PLAYED_TOLERANCE_SHARE * Math.min(one.playedLength, other.playedLength) * secondsPerQuarter;
  return difference <= Math.max(PLAYED_TOLERANCE_SECONDS, tolerance);
}

/** True where a note of a bar has the pitch and the place of another. */
function isWrittenAlike(one: BarNote | undefined, other: BarNote | undefined): boolean {
  return (
    one !== undefined &&
    other !== undefined &&
    (one === other ||
      (one.midi === other.midi && one.bar === other.bar && Math.abs(one.onset - other.onset) <= ROUNDING))
  );
}

/** True where a note is written and played at the place in its bar that the other one has. */
function isSameNote(one: BarNote, other: BarNote): boolean {
  return (
    one === other ||
    (one.midi === other.midi &&
      Math.abs(one.onset - other.onset) <= ROUNDING &&
      Math.abs(one.length - other.length) <= ROUNDING &&
      Math.abs((one.playedOnset ?? Infinity) - (other.playedOnset ?? Infinity)) <= ROUNDING &&
      Math.abs((one.playedLength ?? Infinity) - (other.playedLength ?? Infinity)) <= ROUNDING)
  );
}

function isAsBefore(one: BarNote | undefined, other: BarNote | undefined): boolean {
  return one !== undefined && other !== undefined && one.bar === other.bar && isSameNote(one, other);
}

/** True where every note stands, and is played, where it was; false too where nobody knows how it was played. */
export function standAsBefore(before: readonly BarNote[], after: readonly BarNote[]): boolean {
  return before.length === after.length && after.every((note, index) => isAsBefore(before[index], note));
}

type Columns = Omit<KeptNotes, keyof SameNotes>;

interface GrowingMatch {
  readonly kept: SameNotes & {
    readonly [Column in keyof Columns]: Columns[Column][number][];
  };
  readonly lost: BarNote[];
  readonly gained: BarNote[];
}

interface UnlikeBars {
  readonly rest: readonly BarNote[];
  readonly restAfter: readonly BarNote[];
  /** Indices of the bars in which every note is written and played as before. */
  readonly sameBars: ReadonlySet<number>;
}

/** Keeps the notes of bars that are written alike, note for note; returns those of all other bars. */
function alikeBars(
  before: readonly BarNote[],
  after: readonly BarNote[],
  keep: (one: BarNote, other: BarNote) => void,
): UnlikeBars {
  const sameBars = new Set<number>();
  const starts = barStarts(before);
  const startsAfter = barStarts(after);
  if (starts === undefined || startsAfter === undefined) return { rest: before, restAfter: after, sameBars };
  const rest: BarNote[] = [];
  const restAfter: BarNote[] = [];
  const barCount = Math.max(starts.length, startsAfter.length) - 1;
  for (let bar = 0; bar < barCount; bar++) {
    const from = starts[bar] ?? before.length;
    const end = starts[bar + 1] ?? before.length;
    const fromAfter = startsAfter[bar] ?? after.length;
    const endAfter = startsAfter[bar + 1] ?? after.length;
    if (from === end && fromAfter === endAfter) continue;
    const shift = fromAfter - from;
    let isAlike = end + shift === endAfter;
    let isSame = isAlike;
    for (let at = from; isAlike && at < end; at++) {
      isAlike = isWrittenAlike(before[at], after[at + shift]);
      isSame &&= isAsBefore(before[at], after[at + shift]);
    }
    if (isSame) sameBars.add(bar);
    for (let at = from; at < end; at++) {
      const one = before[at];
      const other = after[at + shift];
      if (one === undefined) continue;
      if (!isAlike || other === undefined) rest.push(one);
      else keep(one, other);
    }
    for (let at = fromAfter; !isAlike && at < endAfter; at++) {
      const other = after[at];
      if (other !== undefined) restAfter.push(other);
    }
  }
  return { rest, restAfter, sameBars };
}

/** Notes by pitch above a lowest one, and of one pitch by where they begin. */
interface Pitches {
  /** Places of the notes; those of a pitch stand together, from its start on. */
  readonly order: Int32Array;
  readonly starts: Int32Array;
}

/** Pitches that were moved may leave the 128 keys. */
export const PITCHES = 512;
export const LOWEST = -PITCHES / 4;

/** The pitches that notes may have between the lowest and the highest. */
interface Span {
  readonly lowest: number;
  readonly count: number;
}

function spanOf(some: readonly BarNote[], others: readonly BarNote[]): Span {
  let lowest = PITCHES;
  let highest = LOWEST;
  for (const notes of [some, others]) {
    for (let at = 0; at < notes.length; at++) {
      const midi = notes[at]?.midi ?? lowest;
      if (midi < lowest) lowest = midi;
      if (midi > highest) highest = midi;
    }
  }
  return { lowest, count: highest - lowest + 1 };
}

function pitchesOf(notes: readonly BarNote[], { lowest, count }: Span): Pitches {
  const starts = new Int32Array(count + 1);
  for (let at = 0; at < notes.length; at++) {
    const pitch = (notes[at]?.midi ?? lowest) - lowest;
    starts[pitch + 1] = (starts[pitch + 1] ?? 0) + 1;
  }
  for (let pitch = 1; pitch <= count; pitch++) starts[pitch] = (starts[pitch] ?? 0) + (starts[pitch - 1] ?? 0);
  const order = new Int32Array(notes.length);
  const next = starts.slice();
  for (let at = 0; at < notes.length; at++) {
    const pitch = (notes[at]?.midi ?? 0) - lowest;
    order[next[pitch] ?? 0] = at;
    next[pitch] = (next[pitch] ?? 0) + 1;
  }
  for (let pitch = 0; pitch < count; pitch++) {
    const from = starts[pitch] ?? 0;
    const to = starts[pitch + 1] ?? 0;
    if (to > from + 1) sortByStart(order.subarray(from, to), notes);
  }
  return { order, starts };
}

/** The pitches of some notes, in the order in which bars have them that are not the same. */
function foundPitches(
  lists: readonly (readonly BarNote[])[],
  sameBars: ReadonlySet<number>,
  { lowest, count }: Span,
  isPitch: (pitch: number) => boolean,
): readonly number[] {
  const wanted = new Uint8Array(count);
  let left = 0;
  for (let pitch = 0; pitch < count; pitch++) {
    if (!isPitch(pitch)) continue;
    wanted[pitch] = 1;
    left++;
  }
  const found: number[] = [];
  for (const notes of lists) {
    for (let at = 0; at < notes.length && left > 0; at++) {
      const note = notes[at];
      if (note === undefined || wanted[note.midi - lowest] !== 1 || sameBars.has(note.bar)) continue;
      wanted[note.midi - lowest] = 0;
      found.push(note.midi - lowest);
      left--;
    }
  }
  return found;
}

/** Sorts places of notes, which mostly are in order, by where the notes begin. */
function sortByStart(places: Int32Array, notes: readonly BarNote[]): void {
  const startOf = (at: number): number => notes[at]?.start ?? 0;
  let last = -Infinity;
  for (let at = 0; at < places.length; at++) {
    const start = startOf(places[at] ?? 0);
    if (start < last) {
      places.sort((a, b) => startOf(a) - startOf(b) || a - b);
      return;
    }
    last = start;
  }
}

/** How much later a note may be played and be the same: so many seconds around a middle. */
export interface PlayedTolerance {
  readonly tolerance: number;
  readonly middle: number;
}

/** By which a note is taken to be the same. */
export const PLAYED: PlayedTolerance = { tolerance: PLAYED_TOLERANCE_SECONDS, middle: 0 };

export const NONE_SAME: SameNotes = { sameCount: 0, same: () => [], restruck: NONE_RESTRUCK };

/**
 * Matches notes of one pitch in order: the same onset within a thirty-second as written, or as played within 50 ms or what is given.
 * `secondsPerQuarter` is asked by the later stage's bar. `same`: notes that are known to be the same, beside those given.
 */
export function matchNotes(
  before: readonly BarNote[],
  after: readonly BarNote[],
  secondsPerQuarter: (bar: number) => number,
  played = PLAYED,
  { sameCount, same, restruck }: SameNotes = NONE_SAME,
): NoteMatch {
  const made: GrowingMatch = {
    kept: { sameCount, same, restruck, before: [], after: [], laterSeconds: [], lengthened: [] },
    lost: [],
    gained: [],
  };
  const { kept, lost, gained } = made;
  const keep = (one: BarNote, other: BarNote): void => {
    const pace = one === other ? 0 : secondsPerQuarter(other.bar);
    if (one !== other && !endsAlike(one, other, pace)) kept.lengthened.push(kept.after.length);
    kept.before.push(one);
    kept.after.push(other);
    kept.laterSeconds.push(one === other ? 0 : laterSeconds(one, other, pace));
  };
  const { rest, restAfter, sameBars } = alikeBars(before, after, keep);
  if (rest.length === 0 && restAfter.length === 0) return made;
  const span = spanOf(rest, restAfter);
  const olds = pitchesOf(rest, span);
  const news = pitchesOf(restAfter, span);
  const matchPitch = (pitch: number): void => {
    let at = olds.starts[pitch] ?? 0;
    let atAfter = news.starts[pitch] ?? 0;
    const end = olds.starts[pitch + 1] ?? 0;
    const endAfter = news.starts[pitch + 1] ?? 0;
    while (at < end || atAfter < endAfter) {
      const one = at < end ? rest[olds.order[at] ?? 0] : undefined;
      const other = atAfter < endAfter ? restAfter[news.order[atAfter] ?? 0] : undefined;
      if (one !== undefined && other !== undefined) {
        const pace = secondsPerQuarter(other.bar);
        const later = laterSeconds(one, other, pace);
        const isSame =
          Math.abs(one.start - other.start) < TOLERANCE_DIVISIONS ||
          Math.abs(later - played.middle) <= played.tolerance;
        if (isSame) {
          keep(one, other);
          at++;
          atAfter++;
          continue;
        }
      }
      if (other === undefined || (one !== undefined && one.start < other.start)) {
        if (one !== undefined) lost.push(one);
        at++;
      } else {
        gained.push(other);
        atAfter++;
      }
    }
  };
  const hasPitch = ({ starts }: Pitches, pitch: number): boolean => starts[pitch + 1] !== starts[pitch];
  const isPitch = (pitch: number): boolean => hasPitch(olds, pitch) || hasPitch(news, pitch);
  for (const pitch of foundPitches([before, after], sameBars, span, isPitch)) matchPitch(pitch);
  return made;
}
