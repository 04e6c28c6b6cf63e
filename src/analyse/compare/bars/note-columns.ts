/** What tells two notes of a part apart, in columns: stages are compared note by note again and again. */
import { onceEach } from '../../../model/once-each.ts';
import { barStarts, type BarNote } from './bar-notes.ts';

/** Differences below come from rounding. */
export const ROUNDING = 1e-6;

/** Numbers of a note that stand side by side. */
const FIELDS = 6;

export interface NoteColumns {
  /** Of each note: pitch, onset and length as written, onset and length as played, velocity; Infinity where nobody knows. */
  readonly fields: Float64Array;
  /** Where the notes of each bar begin, by its index, up to the last bar that has some; one more start marks the end. */
  readonly starts: Uint32Array;
}

/** The columns of notes that are sorted by bar. */
export const columnsOf = onceEach((notes: readonly BarNote[]): NoteColumns => {
  const fields = new Float64Array(FIELDS * notes.length);
  for (let at = 0, field = 0; at < notes.length; at++) {
    const note = notes[at];
    if (note === undefined) continue;
    const { part, midi, onset, length, playedOnset, playedLength, played } = note;
    fields[field++] = midi;
    fields[field++] = onset;
    fields[field++] = length;
    fields[field++] = playedOnset ?? Infinity;
    fields[field++] = playedLength ?? Infinity;
    fields[field++] = part.notes[played]?.velocity ?? Infinity;
  }
  return { fields, starts: barStarts(notes) ?? new Uint32Array(1) };
});

/** True where so many notes, from a place on in either list, have the same pitches at the same places of their bar. */
export function areWrittenAlike(
  one: NoteColumns,
  from: number,
  other: NoteColumns,
  fromOther: number,
  count: number,
): boolean {
  for (
    let at = FIELDS * from, place = FIELDS * fromOther, left = count;
    left > 0;
    at += FIELDS, place += FIELDS, left--
  ) {
    if (one.fields[at] !== other.fields[place]) return false;
    if (!(Math.abs((one.fields[at + 1] ?? 0) - (other.fields[place + 1] ?? 0)) <= ROUNDING)) return false;
  }
  return true;
}

/** What two stretches of notes have in common. */
export const UNLIKE = 0;
/** The notes are written and played alike. */
export const PLAYED_ALIKE = 1;
/** They are struck alike besides. */
export const ALIKE = 2;

/** How alike so many notes are, from a place on in either list; UNLIKE too where nobody knows how they are played. */
export function likenessOf(
  one: NoteColumns,
  from: number,
  other: NoteColumns,
  fromOther: number,
  count: number,
): number {
  let likeness = ALIKE;
  for (let at = FIELDS * from, place = FIELDS * fromOther, left = FIELDS * count; left > 0; at++, place++, left--) {
    if (Math.abs((one.fields[at] ?? 0) - (other.fields[place] ?? 0)) <= ROUNDING) continue;
    // The last number of each note says how it is struck.
    if ((left - 1) % FIELDS !== 0) return UNLIKE;
    likeness = PLAYED_ALIKE;
  }
  return likeness;
}
