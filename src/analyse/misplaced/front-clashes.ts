/**
 * Held notes of the background a semitone beside a held note of the foreground, where all others, however short or plucked, spell a whole
 * chord that has the foreground's note and not theirs. The cases are ours.
 */
import { firstReaching } from '../../model/sorted-search.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';
import type { Slice, SoundingNote } from '../placed-notes/slices.ts';
import { neighbours } from './false-tones.ts';

const STEP = 2;
const MAJOR_SEVENTH_BELOW = 1;

/** Thirds and fifths of the triads that tell a chord. */
const TRIADS: readonly (readonly number[])[] = [
  [0, 4, 7],
  [0, 3, 7],
];

/** Pitch classes that all but these two parts sound between two places. */
function classesBeside(
  slices: readonly Slice[],
  from: number,
  to: number,
  without: ReadonlySet<number>,
): ReadonlySet<number> {
  const classes = new Set<number>();
  for (let at = firstReaching(slices, ({ endQuarters }) => endQuarters > from + 1e-6); at < slices.length; at++) {
    const slice = slices[at];
    if (slice === undefined || slice.startQuarters >= to - 1e-6) break;
    for (const { note, partIndex } of slice.sounding) if (!without.has(partIndex)) classes.add(note.midi % 12);
  }
  return classes;
}

/** True where the note was there before or goes on by step: a suspension, an appoggiatura, a neighbour. */
function isLed(notes: readonly PlacedNote[], { startQuarters, endQuarters, midi }: PlacedNote): boolean {
  const [before, next] = neighbours(notes, startQuarters, endQuarters);
  const isNear = next !== undefined && next.startQuarters <= endQuarters + 1;
  return before?.midi === midi || (isNear && next.midi !== midi && Math.abs(next.midi - midi) <= STEP);
}

/**
 * True where a held note of the background (`behind`) rubs against one of the foreground (`ahead`) with no reason. `strict`: harmony of the textbook,
 * in which the major seventh under the root needs one too.
 */
export function isFalseBesideFront(
  behind: SoundingNote,
  ahead: SoundingNote,
  placed: readonly PlacedPart[],
  slices: readonly Slice[],
  strict: boolean,
): boolean {
  const distance = behind.note.midi - ahead.note.midi;
  // A whole tone is a seventh, a ninth or a sixth of many a chord.
  if (Math.abs(distance) !== 1) return false;
  const from = Math.max(behind.note.startQuarters, ahead.note.startQuarters);
  const to = Math.min(behind.note.endQuarters, ahead.note.endQuarters);
  const beside = classesBeside(slices, from, to, new Set([behind.partIndex, ahead.partIndex]));
  const [own, tune] = [behind.note.midi % 12, ahead.note.midi % 12];
  if (beside.has(own)) return false;
  const root = [...beside].find((each) =>
    TRIADS.some((triad) => {
      const tones = triad.map((tone) => (each + tone) % 12);
      return tones.includes(tune) && tones.every((tone) => beside.has(tone));
    }),
  );
  if (root === undefined) return false;
  if (!strict && (own + MAJOR_SEVENTH_BELOW) % 12 === root) return false;
  return !isLed(placed[behind.partIndex]?.notes ?? [], behind.note);
}
