/** What tells two notes of a part apart, in columns: stages are compared note by note again and again. */
import type { Part, PlayedNote } from '../../../model/music/arrangement.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER, type WrittenNote } from '../../../model/music/written.ts';
import { onceEach } from '../../../model/once-each.ts';
import { barStarts, type BarNote } from './bar-notes.ts';
import { addKey, WORDS } from './key-sets.ts';

/** Differences below come from rounding. */
export const ROUNDING = 1e-6;

/** Numbers of a note that stand side by side, and the places of some of them. */
export const FIELDS = 6;
export const ONSET = 1;
export const LENGTH = 2;
export const VELOCITY = 5;

/** The notes of a part, sorted by bar, onset and pitch. */
export interface NoteColumns {
  /** Of each note: pitch, onset and length as written, onset and length as played, velocity; Infinity where nobody knows. */
  readonly fields: Float64Array;
  readonly midi: Int16Array;
  /** Where each note begins as written, in divisions from the start of bar 1. */
  readonly places: Float64Array;
  /** Where the notes of each bar begin, by its index, up to the last bar that has some at least; one more start marks the end. */
  readonly starts: Uint32Array;
}

function emptyColumns(count: number, starts: Uint32Array): NoteColumns {
  return {
    fields: new Float64Array(FIELDS * count),
    midi: new Int16Array(count),
    places: new Float64Array(count),
    starts,
  };
}

/** The columns of notes that are sorted so. */
export function columnsOfNotes(notes: readonly BarNote[]): NoteColumns {
  const columns = emptyColumns(notes.length, barStarts(notes) ?? new Uint32Array(1));
  const { fields, midi: pitches, places } = columns;
  for (let at = 0, field = 0; at < notes.length; at++) {
    const note = notes[at];
    if (note === undefined) continue;
    const { part, midi, start, onset, length, playedOnset, playedLength, played } = note;
    pitches[at] = midi;
    places[at] = start;
    fields[field++] = midi;
    fields[field++] = onset;
    fields[field++] = length;
    fields[field++] = playedOnset ?? Infinity;
    fields[field++] = playedLength ?? Infinity;
    fields[field++] = part.notes[played]?.velocity ?? Infinity;
  }
  return columns;
}

/** Sets the last three numbers of a note, the first of which stands at a place, as it is played; `startQuarters`: where its bar begins. */
function setPlayed(
  fields: Float64Array,
  place: number,
  performance: PlayedNote | undefined,
  startQuarters: number,
): void {
  if (performance === undefined) {
    fields.fill(Infinity, place + LENGTH + 1, place + FIELDS);
    return;
  }
  fields[place + LENGTH + 1] = performance.startQuarters - startQuarters;
  fields[place + LENGTH + 2] = performance.endQuarters - performance.startQuarters;
  fields[place + VELOCITY] = performance.velocity;
}

/** True where a note does not come after the next one of its bar. */
function isInOrder({ fields, midi }: NoteColumns, at: number): boolean {
  const onset = fields[FIELDS * at + ONSET] ?? 0;
  const next = fields[FIELDS * (at + 1) + ONSET] ?? 0;
  return onset < next || (onset === next && (midi[at] ?? 0) <= (midi[at + 1] ?? 0));
}

/** The columns of the written notes of a part among bars, of which there are some; undefined where the notes are not sorted so. */
export function columnsOfWritten(
  part: Part,
  written: readonly WrittenNote[],
  bars: readonly Bar[],
): NoteColumns | undefined {
  const columns = emptyColumns(written.length, new Uint32Array(bars.length + 1));
  const { fields, midi: pitches, places, starts } = columns;
  let bar = 0;
  for (let at = 0; at < written.length; at++) {
    const note = written[at];
    if (note === undefined) continue;
    const { midi, start, length, played } = note;
    // A bar begins as `barIndexAt` has it.
    const reach = start / DIVISIONS_PER_QUARTER + 1e-6;
    let isNext = at === 0;
    while ((bars[bar + 1]?.startQuarters ?? Infinity) <= reach) {
      starts[++bar] = at;
      isNext = true;
    }
    const startQuarters = bars[bar]?.startQuarters ?? 0;
    if (startQuarters > reach && bar > 0) return undefined;
    pitches[at] = midi;
    places[at] = start;
    fields[FIELDS * at] = midi;
    fields[FIELDS * at + ONSET] = start - startQuarters * DIVISIONS_PER_QUARTER;
    fields[FIELDS * at + LENGTH] = length;
    setPlayed(fields, FIELDS * at, part.notes[played], startQuarters);
    if (!isNext && !isInOrder(columns, at - 1)) return undefined;
  }
  starts.fill(written.length, bar + 1);
  return columns;
}

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
    if (!(Math.abs((one.fields[at + ONSET] ?? 0) - (other.fields[place + ONSET] ?? 0)) <= ROUNDING)) return false;
  }
  return true;
}

/** Adds 1 at the pitch of each note from a place up to another. */
export function countPitchesAt(midi: Int16Array, from: number, end: number, into: Int32Array): void {
  for (let at = from; at < end; at++) {
    const pitch = midi[at] ?? -1;
    into[pitch] = (into[pitch] ?? 0) + 1;
  }
}

/** The keys of the notes that begin in each bar: sets of bits, one after the other. */
export const keySetsOf = onceEach(({ midi, starts }: NoteColumns): Int32Array => {
  const sets = new Int32Array(WORDS * Math.max(0, starts.length - 1));
  for (let bar = 0; bar + 1 < starts.length; bar++) {
    const end = starts[bar + 1] ?? 0;
    for (let at = starts[bar] ?? end; at < end; at++) addKey(sets, bar, midi[at] ?? -1);
  }
  return sets;
});

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
