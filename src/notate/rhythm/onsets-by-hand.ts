/** Streams of onsets of a part: one for each hand of a keyboard (two against three is common between hands and rare inside one). */
import type { Part, PlayedNote } from '../../model/music/arrangement.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { clusterOnsets, playedPlaces } from '../score-time/clusters.ts';
import { hasTwoStaves, stavesOf } from '../voices/hands.ts';
import type { Onset, OnsetStates } from './onset-candidates.ts';
import { statesOf } from './onset-candidates.ts';
import type { PartOrnaments } from '../ornaments/ornaments.ts';
import { NO_ORNAMENTS } from '../ornaments/ornaments.ts';
import type { ScoreTime } from '../score-time/score-time.ts';

export interface Stream {
  readonly onsets: readonly Onset[];
  readonly states: OnsetStates;
  readonly weights: Float64Array;
  readonly apartSigns: Float64Array;
}

export interface PartStreams {
  readonly part: Part;
  /** Played place of each note in divisions, lateness taken out. */
  readonly places: readonly number[];
  /** Staff of each note, 1 or 2. */
  readonly staves: readonly number[];
  /** First staff first. */
  readonly streams: readonly Stream[];
  readonly ornaments: PartOrnaments;
}

const ENOUGH_OVERLAP = 0.5;
const FULL_OVERLAP = 0.8;
const DETACHED = 3;
/** Keys that follow one another after so long, the first of them let go, are no chord at all. */
const APART_SECONDS = 0.07;
const FAR_DETACHED = 8;
const SAME_KEY = 6;
/** Keys that go down within this time and stay down together are one chord; after that time, less and less. */
const CHORD_SECONDS = 0.05;
const CHORD_ENDS_SECONDS = 0.1;
const CHORD = 2;

/**
 * How the playing of two successive onsets speaks for one chord (positive) or against it (negative), in nats: whether they sound together,
 * and whether one key is struck again.
 */
function signOf(before: PlayedNote | undefined, after: PlayedNote | undefined): number {
  if (before === undefined || after === undefined) return 0;
  // A key that is already down and is struck again is a second voice on the same note.
  if (before.midi === after.midi && before.endSecond <= after.startSecond + 0.01) return -DETACHED - SAME_KEY;
  const shorter = Math.min(before.endSecond - before.startSecond, after.endSecond - after.startSecond);
  const overlap = Math.min(before.endSecond, after.endSecond) - after.startSecond;
  const share = Math.min(1, Math.max(0, overlap / Math.max(1e-3, shorter)));
  const gap = after.startSecond - before.startSecond;
  if (share < ENOUGH_OVERLAP) {
    return -(gap > APART_SECONDS && share === 0 ? FAR_DETACHED : DETACHED) * (1 - share / ENOUGH_OVERLAP);
  }
  const near = Math.min(1, Math.max(0, (CHORD_ENDS_SECONDS - gap) / (CHORD_ENDS_SECONDS - CHORD_SECONDS)));
  return CHORD * near * Math.min(1, (share - ENOUGH_OVERLAP) / (FULL_OVERLAP - ENOUGH_OVERLAP));
}

/** Onsets of the notes of a stream: what was rolled or trilled is one. */
function onsetsOf(places: readonly number[], indices: readonly number[], ornaments: PartOrnaments): Onset[] {
  const placeOf = (note: number): number => places[note] ?? 0;
  const single = (notes: readonly number[], all: readonly number[]): Onset => ({
    notes,
    place: Math.min(...all.map(placeOf)),
    lastPlace: Math.max(...notes.map(placeOf)),
    weight: 1,
  });
  const own = new Set(indices);
  const joined = new Set<number>();
  const onsets: Onset[] = [];
  for (const roll of ornaments.rolls) {
    const notes = roll.notes.filter((note) => own.has(note));
    for (const note of notes) joined.add(note);
    if (notes.length > 0)
      onsets.push({ ...single(notes, roll.notes), lastPlace: Math.max(...roll.notes.map(placeOf)) });
  }
  for (const { main, partner, covers } of ornaments.trills) {
    if (!own.has(main)) continue;
    const notes = partner === undefined ? [main] : [main, partner];
    for (const note of notes) joined.add(note);
    const onset = single(notes, [...notes, ...covers]);
    onsets.push({ ...onset, lastPlace: onset.place });
  }
  for (const note of indices) {
    if (!joined.has(note) && !ornaments.unwritten.has(note)) onsets.push(single([note], [note]));
  }
  return onsets.sort((a, b) => a.place - b.place);
}

function streamOf(
  part: Part,
  places: readonly number[],
  indices: readonly number[],
  ornaments: PartOrnaments,
  time: ScoreTime,
): Stream {
  const onsets = onsetsOf(places, indices, ornaments);
  const apartSigns = Float64Array.from(onsets, (onset, index) =>
    signOf(part.notes[onsets[index - 1]?.notes[0] ?? -1], part.notes[onset.notes[0] ?? -1]),
  );
  return {
    onsets,
    states: statesOf(onsets, time),
    weights: Float64Array.from(onsets, (onset) => onset.weight),
    apartSigns,
  };
}

/** A part before anything is known of its ornaments. */
export function streamsOf(part: Part, timeline: Timeline, time: ScoreTime): PartStreams {
  const places = playedPlaces(part, timeline, time);
  const all = part.notes.map((_, index) => index);
  const chordPlaces = [...places];
  if (hasTwoStaves(part)) {
    for (const cluster of clusterOnsets(part, places, all)) {
      for (const note of cluster.notes) chordPlaces[note] = cluster.place;
    }
  }
  const staves = hasTwoStaves(part) ? stavesOf(part, chordPlaces) : all.map(() => 1);
  return withOrnaments({ part, places, staves, streams: [], ornaments: NO_ORNAMENTS }, NO_ORNAMENTS, time);
}

/** The part with its ornaments taken together. */
export function withOrnaments(parts: PartStreams, ornaments: PartOrnaments, time: ScoreTime): PartStreams {
  const { part, places, staves } = parts;
  const all = part.notes.map((_, index) => index);
  const streams = (staves.includes(3) ? [1, 2, 3] : hasTwoStaves(part) ? [1, 2] : [1]).map((staff) =>
    streamOf(
      part,
      places,
      all.filter((index) => staves[index] === staff),
      ornaments,
      time,
    ),
  );
  return { part, places, staves, streams, ornaments };
}

/** Players who sit together are late together: their onsets are not as many independent witnesses. */
const ENSEMBLE_WEIGHT = 0.5;

/** The onsets of several streams in one, and the index of the stream that each came from. */
export function ensembleOf(
  streams: readonly Stream[],
  time: ScoreTime,
): { readonly stream: Stream; readonly owners: Int32Array } {
  const all = streams.flatMap(({ onsets }, owner) => onsets.map((onset) => ({ onset, owner })));
  all.sort((a, b) => a.onset.place - b.onset.place);
  const onsets = all.map((item) => item.onset);
  const stream: Stream = {
    onsets,
    states: statesOf(onsets, time),
    weights: Float64Array.from(onsets, (onset) => ENSEMBLE_WEIGHT * onset.weight),
    apartSigns: new Float64Array(onsets.length),
  };
  return { stream, owners: Int32Array.from(all, (item) => item.owner) };
}
