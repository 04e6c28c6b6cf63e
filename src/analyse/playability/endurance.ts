/**
 * Lips of a brass player: loud or high playing wants rest of like length after it, most of all in first trumpets and horns (S. Adler, A.
 * Blatter, from memory; no number is published).
 */
import type { LevelModel } from '../level/level-model.ts';
import { loudnessAt } from '../level/level-model.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';
import { rangeLimitsOf } from '../parts/ranges.ts';
import type { AwkwardPlace } from './gather-awkward.ts';

/** `f` and more: four of the six marks. */
const LOUD_DYNAMIC = 4 / 6;
/** A pause this long lets the blood come back. Our convention. */
const PAUSE_SECONDS = 4;
/** Shorter efforts are everyday. Our convention. */
export const LONG_EFFORT_SECONDS = 20;
/** Short rests all along do for the lips what one long rest does: so much of the stretch must sound. Our convention. */
const SOUNDING_SHARE = 0.7;

interface Effort {
  readonly first: PlacedNote;
  last: PlacedNote;
  seconds: number;
  endSecond: number;
}

/**
 * Efforts longer than so many seconds that have less than as much rest after them, by their first and last note; for a brass
 * part with one player. Amounts are seconds of loud or high sound.
 */
export function endurancePlacesOf(
  { part, notes }: PlacedPart,
  model: LevelModel,
  longSeconds = LONG_EFFORT_SECONDS,
): readonly AwkwardPlace[] {
  if (part.family !== 'brass' || part.players > 1) return [];
  const top = rangeLimitsOf(part).practical?.high ?? 127;
  const efforts: Effort[] = [];
  for (const note of notes) {
    const track = model.tracks[note.played.trackIndex];
    const { dynamic } =
      track === undefined
        ? { dynamic: 0 }
        : loudnessAt(track, note.played.velocity, note.startQuarters + note.shiftQuarters);
    if (dynamic < LOUD_DYNAMIC && note.midi <= top) continue;
    const open = efforts.at(-1);
    const { startSecond, endSecond } = note.played;
    if (open !== undefined && startSecond - open.endSecond < PAUSE_SECONDS) {
      open.seconds += Math.max(0, endSecond - Math.max(startSecond, open.endSecond));
      open.endSecond = Math.max(open.endSecond, endSecond);
      open.last = note;
    } else efforts.push({ first: note, last: note, seconds: endSecond - startSecond, endSecond });
  }
  return efforts.flatMap(({ first, last, seconds, endSecond }): AwkwardPlace[] => {
    const next = notes.find(({ played }) => played.startSecond >= endSecond - 1e-6);
    const rest = next === undefined ? Infinity : next.played.startSecond - endSecond;
    const isDense = seconds >= SOUNDING_SHARE * (endSecond - first.played.startSecond);
    return seconds >= longSeconds && isDense && rest < seconds
      ? [{ notes: [first, last], amount: seconds, usual: longSeconds }]
      : [];
  });
}
