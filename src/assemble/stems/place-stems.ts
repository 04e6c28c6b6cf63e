/** Where the recordings of a stage lie on its notes. */
import type { Part } from '../../model/music/arrangement.ts';
import type { Onset, Place } from '../../sound/measure/place-on-notes.ts';
import { placeOnNotes } from '../../sound/measure/place-on-notes.ts';

/** A place is taken where it agrees so much better than the next: random onsets come to 1.3, the renders of the tests to 1.6 and more. */
const CLEAR = 1.4;

/** Onsets of some parts; a note that is played twice as strongly counts for twice as much. */
function onsetsOf(parts: readonly Part[]): readonly Onset[] {
  return parts.flatMap(({ notes }) =>
    notes.map(({ startSecond, velocity }) => ({ second: startSecond, weight: velocity / 127 })),
  );
}

/** The place of a recording among the notes of its parts; undefined where it is not clear. */
export function clearPlace(rises: Float32Array, parts: readonly Part[]): Place | undefined {
  const place = placeOnNotes(rises, onsetsOf(parts));
  return place !== undefined && place.clearness >= CLEAR ? place : undefined;
}

/** The rises of several recordings together. */
export function risesTogether(all: readonly Float32Array[]): Float32Array {
  const sum = new Float32Array(Math.max(0, ...all.map(({ length }) => length)));
  for (const rises of all) rises.forEach((rise, index) => (sum[index] = (sum[index] ?? 0) + rise));
  return sum;
}
