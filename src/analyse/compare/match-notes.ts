/** Notes of one part in two stages: which are the same, which came and which went. */
import { groupedBy } from '../../model/grouped.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/written.ts';
import type { BarNote } from './bar-notes.ts';

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

function byPitch(notes: readonly BarNote[]): Map<number, BarNote[]> {
  const groups = groupedBy(notes, ({ midi }) => midi);
  for (const group of groups.values()) group.sort((a, b) => a.start - b.start);
  return groups;
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
  const kept: KeptNote[] = [];
  const lost: BarNote[] = [];
  const gained: BarNote[] = [];
  const groups = byPitch(before);
  const groupsAfter = byPitch(after);
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

/** Chords by place: pitches that begin within the same thirty-second, low to high. */
function chordsOf(notes: readonly BarNote[]): Map<number, number[]> {
  const chords = new Map<number, number[]>();
  for (const note of notes) {
    const place = Math.round(note.start / TOLERANCE_DIVISIONS);
    const chord = chords.get(place);
    if (chord === undefined) chords.set(place, [note.midi]);
    else chord.push(note.midi);
  }
  for (const chord of chords.values()) chord.sort((a, b) => a - b);
  return chords;
}

/** The interval by which `least` of the notes, chord for chord, stand higher than before; undefined where there is none. */
export function shiftOf(before: readonly BarNote[], after: readonly BarNote[], least: number): number | undefined {
  const chords = chordsOf(before);
  const votes = new Map<number, number>();
  for (const [place, chord] of chordsOf(after)) {
    const earlier = chords.get(place) ?? chords.get(place - 1) ?? chords.get(place + 1);
    if (earlier?.length !== chord.length) continue;
    const shift = (chord[0] ?? 0) - (earlier[0] ?? 0);
    if (chord.every((midi, index) => midi - (earlier[index] ?? 0) === shift)) {
      votes.set(shift, (votes.get(shift) ?? 0) + chord.length);
    }
  }
  const [best] = [...votes].sort((a, b) => b[1] - a[1] || Math.abs(a[0]) - Math.abs(b[0]));
  if (best === undefined || best[1] < least * Math.max(before.length, after.length)) return undefined;
  return best[0];
}
