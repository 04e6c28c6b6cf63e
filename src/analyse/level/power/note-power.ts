/** Mean power of a note over a span of time. */
import type { Timeline } from '../../../model/music/timeline.ts';
import { secondAt } from '../../../model/music/timeline.ts';
import type { PlacedNote } from '../../placed-notes/placed-notes.ts';
import { movesBetween } from '../../../model/music/controller-curve.ts';
import { meanDecayedShare } from './decay.ts';
import type { LevelModel, TrackLevels } from '../level-model.ts';
import { decayOfNote, levelAtDb, loudnessAt } from '../level-model.ts';

/** A curve that moves inside the span is sampled at the middle of this many equal pieces. */
const PIECES = 8;

export type RegisterUse = 'with-register' | 'without-register';

function decayShare(track: TrackLevels, note: PlacedNote, from: number, to: number, timeline: Timeline): number {
  const { startSecond, soundingEndSecond } = note.played;
  const rate = decayOfNote(track, soundingEndSecond - startSecond);
  if (rate === 0) return 1;
  const sinceStart = (quarters: number): number =>
    Math.max(0, secondAt(timeline, quarters + note.shiftQuarters) - startSecond);
  return meanDecayedShare(rate, sinceStart(from), sinceStart(to));
}

/**
 * Mean power (dB re 1 pW undone: 10^(dB/10)) of a part's note between two written places inside it, all its players on
 * this one note. Controllers are read where the note was performed. 0 where a controller silences it.
 */
export function meanNotePower(
  model: LevelModel,
  note: PlacedNote,
  fromQuarters: number,
  toQuarters: number,
  timeline: Timeline,
  register: RegisterUse = 'with-register',
): number {
  const track = model.tracks[note.played.trackIndex];
  if (track === undefined) return 0;
  const performedFrom = fromQuarters + note.shiftQuarters;
  const performedTo = toQuarters + note.shiftQuarters;
  const moves =
    (track.dynamic !== undefined && movesBetween(track.dynamic, performedFrom, performedTo)) ||
    track.gains.some((gain) => movesBetween(gain, performedFrom, performedTo));
  const pieces = moves ? PIECES : 1;
  const midi = register === 'with-register' ? note.midi : undefined;
  const pieceQuarters = (toQuarters - fromQuarters) / pieces;
  let sum = 0;
  for (let piece = 0; piece < pieces; piece++) {
    const from = fromQuarters + piece * pieceQuarters;
    const middle = from + pieceQuarters / 2 + note.shiftQuarters;
    const levelDb = levelAtDb(model, loudnessAt(track, note.played.velocity, middle), midi);
    if (levelDb === Number.NEGATIVE_INFINITY) continue;
    sum += 10 ** (levelDb / 10) * decayShare(track, note, from, from + pieceQuarters, timeline);
  }
  return sum / pieces;
}
