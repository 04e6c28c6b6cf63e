/**
 * Lips of a brass player: loud or high playing wants rest of like length after it, most of all in first trumpets and horns (S. Adler, A.
 * Blatter, from memory; no number is published).
 */
import type { AwkwardPlaces } from '../../model/readings.ts';
import type { Timeline } from '../../model/timeline.ts';
import type { LevelModel } from '../level/level-model.ts';
import { loudnessAt } from '../level/level-model.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes.ts';
import { rangeLimitsOf } from '../ranges.ts';
import type { AwkwardPlace } from './gather-awkward.ts';
import { gatherAwkward } from './gather-awkward.ts';

/** `f` and more: four of the six marks. */
const LOUD_DYNAMIC = 4 / 6;
/** A pause this long lets the blood come back. Our convention. */
const PAUSE_SECONDS = 4;
/** Shorter efforts are everyday. Our convention. */
const LONG_SECONDS = 20;

interface Effort {
  readonly first: PlacedNote;
  seconds: number;
  endSecond: number;
}

/** Efforts of 20 s and more that have less than as much rest after them; for a part with one player. */
export function endurancePlacesOf(
  { part, notes }: PlacedPart,
  model: LevelModel,
  timeline: Timeline,
): readonly AwkwardPlaces[] {
  if (part.family !== 'brass' || part.players > 1) return [];
  const top = rangeLimitsOf(part).comfortable?.high ?? 127;
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
      open.seconds += endSecond - Math.max(startSecond, open.endSecond);
      open.endSecond = Math.max(open.endSecond, endSecond);
    } else efforts.push({ first: note, seconds: endSecond - startSecond, endSecond });
  }
  const places = efforts.flatMap(({ first, seconds, endSecond }): AwkwardPlace[] => {
    const next = notes.find(({ played }) => played.startSecond >= endSecond - 1e-6);
    const rest = next === undefined ? Infinity : next.played.startSecond - endSecond;
    return seconds >= LONG_SECONDS && rest < seconds
      ? [{ quarters: first.startQuarters, midi: [first.midi], amount: seconds }]
      : [];
  });
  return gatherAwkward('brass-endurance', LONG_SECONDS, places, timeline);
}
