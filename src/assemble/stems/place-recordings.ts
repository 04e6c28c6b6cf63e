/** Where recordings lie on the notes of a stage: as somebody says, else by their onsets, else as the MIDI does. */
import type { Part, Question, Stage } from '../../model/music/arrangement.ts';
import type { PlacedBy } from '../../model/recordings/placed-by.ts';
import { asYamlKey } from '../../read/clean-text.ts';
import type { Onset, Place } from '../../sound/measure/place-on-notes.ts';
import { placeOnNotes } from '../../sound/measure/place-on-notes.ts';

/** A place is taken where it agrees so much better than the next: random onsets come to 1.3, the renders of the tests to 1.6 and more. */
const CLEAR = 1.4;
/** Quarters of the piece that lie further apart than this were not played at the same tempo. */
const DRIFT_SECONDS = 0.03;

export interface KnownPlace {
  /** Where somebody says that the first bar begins in the recordings; undefined where nobody does. */
  readonly stated: number | undefined;
  /** Where it stands in the MIDI files: recordings are taken to begin with them where nothing tells more. */
  readonly inMidi: number;
}

export interface RecordingPlace {
  /** Second of the recording at which the first bar begins. */
  readonly offsetSeconds: number;
  readonly by: PlacedBy;
  /** By how much quarters of the piece lie apart, where it is more than a player's freedom. */
  readonly driftSeconds: number | undefined;
}

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

/** Where these parts lie in a recording of them. */
export function placeOf(rises: Float32Array, parts: readonly Part[], { stated, inMidi }: KnownPlace): RecordingPlace {
  const found = clearPlace(rises, parts);
  const quarters = (found?.quarters() ?? []).filter((late) => late !== undefined);
  const drift = Math.max(0, ...quarters) - Math.min(0, ...quarters);
  return {
    offsetSeconds: stated ?? found?.offsetSeconds ?? inMidi,
    by: stated !== undefined ? 'settings' : found !== undefined ? 'onsets' : 'midi',
    driftSeconds: drift > DRIFT_SECONDS ? drift : undefined,
  };
}

/** Asks for a place that the onsets do not tell. */
export function placeQuestion(
  stage: Stage,
  what: string,
  whose: 'Its' | 'Their',
  { offsetSeconds }: RecordingPlace,
): Question {
  return {
    code: 'other',
    text: `Where in ${what} does the first bar begin? ${whose} onsets do not tell; ${offsetSeconds.toFixed(2)} seconds are taken, as in the MIDI file. Say it with stages: ${asYamlKey(stage.title)}: offset (seconds).`,
  };
}
