/** Notes of one part in two stages: which are the same, which came and which went. */
import { groupedBy } from '../../model/grouped.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/written.ts';
import type { BarNote } from './bar-notes.ts';
import { onceEach } from './once-each.ts';

export interface KeptNote {
  readonly before: BarNote;
  readonly after: BarNote;
  /** How much later it is played, in seconds; undefined where one of the two has no performance. */
  readonly laterSeconds: number | undefined;
  /** True where its written length is another by a thirty-second or more, and it is also played so. */
  readonly isLengthened: boolean;
}

export interface NoteMatch {
  readonly kept: readonly KeptNote[];
  readonly lost: readonly BarNote[];
  readonly gained: readonly BarNote[];
}

/** Notes moved or stretched by less than a thirty-second are the same notes. */
const TOLERANCE_DIVISIONS = DIVISIONS_PER_QUARTER / 8;
/** Onsets as played, as transcriptions of music are commonly scored (mir_eval: 50 ms; ends 50 ms or a fifth of the length). */
const PLAYED_TOLERANCE_SECONDS = 0.05;
const PLAYED_TOLERANCE_SHARE = 0.2;

function laterSeconds(one: BarNote, other: BarNote, secondsPerQuarter: number): number | undefined {
  if (one.playedOnset === undefined || other.playedOnset === undefined) return undefined;
  const barsApart = (other.start - other.onset - one.start + one.onset) / DIVISIONS_PER_QUARTER;
  return (barsApart + other.playedOnset - one.playedOnset) * secondsPerQuarter;
}

function endsAlike(one: BarNote, other: BarNote, secondsPerQuarter: number): boolean {
  const ends = [one.start + one.length, other.start + other.length] as const;
  if (Math.abs(ends[0] - ends[1]) < TOLERANCE_DIVISIONS) return true;
  if (one.playedLength === undefined || other.playedLength === undefined) return false;
  const difference = Math.abs(one.playedLength - other.playedLength) * secondsPerQuarter;
  const tolerance = PLAYED_TOLERANCE_SHARE * Math.min(one.playedLength, other.playedLength) * secondsPerQuarter;
  return difference <= Math.max(PLAYED_TOLERANCE_SECONDS, tolerance);
}

const byPitch = onceEach((notes: readonly BarNote[]): ReadonlyMap<number, readonly BarNote[]> => {
  const groups = groupedBy(notes, ({ midi }) => midi);
  for (const group of groups.values()) {
    if (group.some(({ start }, index) => start < (group[index - 1]?.start ?? start))) {
      group.sort((a, b) => a.start - b.start);
    }
  }
  return groups;
});

const ROUNDING = 1e-6;

function isAsBefore(one: BarNote | undefined, other: BarNote | undefined): boolean {
  return (
    one !== undefined &&
    other !== undefined &&
    one.midi === other.midi &&
    one.bar === other.bar &&
    Math.abs(one.onset - other.onset) <= ROUNDING &&
    Math.abs(one.length - other.length) <= ROUNDING &&
    Math.abs((one.playedOnset ?? Infinity) - (other.playedOnset ?? Infinity)) <= ROUNDING &&
    Math.abs((one.playedLength ?? Infinity) - (other.playedLength ?? Infinity)) <= ROUNDING
  );
}

/** True where every note stands, and is played, where it was; false too where nobody knows how it was played. */
export function standAsBefore(before: readonly BarNote[], after: readonly BarNote[]): boolean {
  return before.length === after.length && after.every((note, index) => isAsBefore(before[index], note));
}

/** Where the notes of a bar end that begin at `from`; at `from` where those there are of another bar. */
function endOfBar(notes: readonly BarNote[], from: number, bar: number): number {
  let end = from;
  while (notes[end]?.bar === bar) end++;
  return end;
}

function isByBar(notes: readonly BarNote[]): boolean {
  return notes.every(({ bar }, index) => bar >= (notes[index - 1]?.bar ?? bar));
}

interface AlikeBars {
  readonly kept: KeptNote[];
  /** The notes of all other bars. */
  readonly before: readonly BarNote[];
  readonly after: readonly BarNote[];
}

/** The notes of bars in which nothing differs, paired. */
function alikeBars(before: readonly BarNote[], after: readonly BarNote[]): AlikeBars {
  const kept: KeptNote[] = [];
  if (!isByBar(before) || !isByBar(after)) return { kept, before, after };
  const rest: BarNote[] = [];
  const restAfter: BarNote[] = [];
  let [from, fromAfter] = [0, 0];
  while (from < before.length || fromAfter < after.length) {
    const bar = Math.min(before[from]?.bar ?? Infinity, after[fromAfter]?.bar ?? Infinity);
    const [end, endAfter] = [endOfBar(before, from, bar), endOfBar(after, fromAfter, bar)];
    const shift = fromAfter - from;
    let isSame = end + shift === endAfter;
    for (let at = from; isSame && at < end; at++) isSame = isAsBefore(before[at], after[at + shift]);
    for (let at = from; at < end; at++) {
      const [one, other] = [before[at], after[at + shift]];
      if (one === undefined) continue;
      if (!isSame || other === undefined) rest.push(one);
      else kept.push({ before: one, after: other, isLengthened: false, laterSeconds: 0 });
    }
    for (let at = fromAfter; !isSame && at < endAfter; at++) {
      const other = after[at];
      if (other !== undefined) restAfter.push(other);
    }
    [from, fromAfter] = [end, endAfter];
  }
  return { kept, before: rest, after: restAfter };
}

/** How much later a note may be played and be the same: so many seconds around a middle. */
export interface PlayedTolerance {
  readonly tolerance: number;
  readonly middle: number;
}

const PLAYED: PlayedTolerance = { tolerance: PLAYED_TOLERANCE_SECONDS, middle: 0 };

/**
 * Matches notes of one pitch in order: the same onset within a thirty-second as written, or as played within 50 ms or what is given.
 * `secondsPerQuarter` is asked by the later stage's bar.
 */
export function matchNotes(
  before: readonly BarNote[],
  after: readonly BarNote[],
  secondsPerQuarter: (bar: number) => number,
  played = PLAYED,
): NoteMatch {
  const { kept, before: rest, after: restAfter } = alikeBars(before, after);
  const lost: BarNote[] = [];
  const gained: BarNote[] = [];
  const groups = byPitch(rest);
  const groupsAfter = byPitch(restAfter);
  for (const midi of new Set([...groups.keys(), ...groupsAfter.keys()])) {
    const olds = groups.get(midi) ?? [];
    const news = groupsAfter.get(midi) ?? [];
    for (let i = 0, j = 0; i < olds.length || j < news.length;) {
      const one = olds[i];
      const other = news[j];
      if (one !== undefined && other !== undefined) {
        const pace = secondsPerQuarter(other.bar);
        const later = laterSeconds(one, other, pace);
        const isSame =
          Math.abs(one.start - other.start) < TOLERANCE_DIVISIONS ||
          (later !== undefined && Math.abs(later - played.middle) <= played.tolerance);
        if (isSame) {
          kept.push({ before: one, after: other, isLengthened: !endsAlike(one, other, pace), laterSeconds: later });
          i++;
          j++;
          continue;
        }
      }
      if (other === undefined || (one !== undefined && one.start < other.start)) {
        if (one !== undefined) lost.push(one);
        i++;
      } else {
        gained.push(other);
        j++;
      }
    }
  }
  return { kept, lost, gained };
}

/** Pitches that were moved may leave the 128 keys. */
const PITCHES = 512;

/** Chords in their order: pitches that begin within the same thirty-second, low to high. */
interface Chords {
  /** Of all notes, by place and pitch. */
  readonly midi: Int16Array;
  /** Of each chord: its place, and where its notes begin; one more marks the end. */
  readonly places: readonly number[];
  readonly starts: readonly number[];
}

const chordsOf = onceEach((notes: readonly BarNote[]): Chords => {
  const codes = new Float64Array(notes.length);
  let [isSorted, last] = [true, -Infinity];
  notes.forEach(({ start, midi }, index) => {
    const code = Math.round(start / TOLERANCE_DIVISIONS) * PITCHES + midi + PITCHES / 4;
    if (code < last) isSorted = false;
    codes[index] = last = code;
  });
  if (!isSorted) codes.sort();
  const midi = new Int16Array(codes.length);
  const places: number[] = [];
  const starts: number[] = [];
  let place = -Infinity;
  codes.forEach((code, index) => {
    const own = Math.floor(code / PITCHES);
    midi[index] = code - own * PITCHES;
    if (own === place) return;
    place = own;
    places.push(own);
    starts.push(index);
  });
  starts.push(codes.length);
  return { midi, places, starts };
});

/** The chord at a place, or a step before or after it, of those from `near` on; -1 where there is none. */
function nearestChord({ places }: Chords, near: number, place: number): number {
  let found = -1;
  for (let chord = near; chord < near + 3; chord++) {
    const at = places[chord] ?? Infinity;
    if (at === place) return chord;
    if (found < 0 && at <= place + 1) found = chord;
  }
  return found;
}

/** The interval by which `least` of the notes, chord for chord, stand higher than before; undefined where there is none. */
export function shiftOf(before: readonly BarNote[], after: readonly BarNote[], least: number): number | undefined {
  const [olds, news] = [chordsOf(before), chordsOf(after)];
  const votes = new Map<number, number>();
  let near = 0;
  news.places.forEach((place, index) => {
    while ((olds.places[near] ?? Infinity) < place - 1) near++;
    const earlier = nearestChord(olds, near, place);
    if (earlier < 0) return;
    const [from, to] = [news.starts[index] ?? 0, news.starts[index + 1] ?? 0];
    const fromBefore = olds.starts[earlier] ?? 0;
    if ((olds.starts[earlier + 1] ?? 0) - fromBefore !== to - from) return;
    const shiftAt = (note: number): number => (news.midi[from + note] ?? 0) - (olds.midi[fromBefore + note] ?? 0);
    const shift = shiftAt(0);
    let isAlike = true;
    for (let note = 1; note < to - from; note++) if (shiftAt(note) !== shift) isAlike = false;
    if (isAlike) votes.set(shift, (votes.get(shift) ?? 0) + to - from);
  });
  const [best] = [...votes].sort((a, b) => b[1] - a[1] || Math.abs(a[0]) - Math.abs(b[0]));
  if (best === undefined || best[1] < least * Math.max(before.length, after.length)) return undefined;
  return best[0];
}
