/**
 * Written onsets of one part on a known beat grid. Onsets that belong to one chord are clustered; then each cell (beat) gets the
 * subdivision that explains its onsets at least cost, by a Viterbi search over the cells. The idea of a penalised choice per beat
 * and its first weights were measured on aligned piano performances; the weights here are stricter, for playing to a click.
 */
import type { Part } from '../model/arrangement.ts';
import type { Timeline } from '../model/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../model/written.ts';
import type { FilledCell } from './cell-search.ts';
import { fillCells, nearestSlot, searchCells } from './cell-search.ts';
import type { Cluster } from './clusters.ts';
import { clusterOnsets, playedPlaces } from './clusters.ts';
import { hasTwoStaves, stavesOf } from './hands.ts';
import { FIRST_PRIORS, learnedPriors } from './rhythm-priors.ts';
import type { ScoreTime } from './score-time.ts';
import type { Subdivision } from './subdivisions.ts';
import { SUBDIVISION_KINDS } from './subdivisions.ts';

export interface PartGrid {
  /** Written onset of each of the part's notes, in divisions. */
  readonly onsets: readonly number[];
  /** Played place of each note in divisions, lateness taken out. */
  readonly places: readonly number[];
  /** Staff of each note, 1 or 2. */
  readonly staves: readonly number[];
  /** Chosen subdivision by staff (first staff first) and cell index; cells without an onset are absent. */
  readonly chosen: readonly ReadonlyMap<number, Subdivision>[];
  /** Share of notes written further than 0.15 quarter from where they were played. */
  readonly doubtfulShare: number;
}

const DOUBTFUL_DIVISIONS = 0.15 * DIVISIONS_PER_QUARTER;
const FIRST_SPREAD_MS = 18;
const LEAST_SPREAD_MS = 6;
const MOST_SPREAD_MS = 32;
/** Readings after the first, each with the priors that the one before taught. */
const ROUNDS = 2;

function eachPlacing(
  filled: readonly FilledCell[],
  path: readonly Subdivision[],
  visit: (cluster: Cluster, written: number, millisecondsPerDivision: number) => void,
): void {
  for (const [index, item] of filled.entries()) {
    const slots = path[index]?.slots ?? [0];
    for (const cluster of item.clusters) {
      const slot = slots[nearestSlot(slots, cluster.place - item.cell.start)] ?? 0;
      visit(cluster, item.cell.start + slot, item.millisecondsPerDivision);
    }
  }
}

/** Spread of the playing around a first reading, from the median deviation (1.4826 makes it a standard deviation for a normal law). */
function spreadAround(filled: readonly FilledCell[], path: readonly Subdivision[]): number {
  const off: number[] = [];
  eachPlacing(filled, path, (cluster, written, scale) =>
    off.push(Math.abs(cluster.place - written) * scale * Math.sqrt(Math.min(3, cluster.notes.length))),
  );
  off.sort((a, b) => a - b);
  const middle = off[off.length >> 1] ?? 0;
  const measured = 1.4826 * middle;
  // Few notes say little about their player: lean on the first assumption.
  const trust = off.length / (off.length + 12);
  return Math.min(MOST_SPREAD_MS, Math.max(LEAST_SPREAD_MS, trust * measured + (1 - trust) * FIRST_SPREAD_MS));
}

/** Hands are read one by one: two against three is common between them and rare inside one. */
interface Stream {
  readonly filled: readonly FilledCell[];
  readonly spreadMs: number;
  readonly counts: readonly number[];
}

export interface FirstReading {
  readonly places: readonly number[];
  readonly staves: readonly number[];
  readonly streams: readonly Stream[];
  /** How often each kind of subdivision seems to occur in the part. */
  readonly counts: readonly number[];
}

function countsOf(paths: readonly (readonly Subdivision[])[]): number[] {
  const counts = SUBDIVISION_KINDS.map(() => 0);
  for (const subdivision of paths.flat()) counts[subdivision.kind] = (counts[subdivision.kind] ?? 0) + 1;
  return counts;
}

function staffStream(part: Part, time: ScoreTime, places: readonly number[], indices: readonly number[]): Stream {
  const filled = fillCells(time, clusterOnsets(part, places, indices));
  const path = searchCells(part, filled, FIRST_SPREAD_MS, FIRST_PRIORS);
  return { filled, spreadMs: spreadAround(filled, path), counts: countsOf([path]) };
}

/** First pass over a part: its hands, its spread and the kinds of subdivision it seems to use. */
export function readFirst(part: Part, timeline: Timeline, time: ScoreTime): FirstReading {
  const places = playedPlaces(part, timeline, time);
  const all = part.notes.map((_, index) => index);
  if (!hasTwoStaves(part)) {
    const stream = staffStream(part, time, places, all);
    return { places, staves: all.map(() => 1), streams: [stream], counts: stream.counts };
  }
  const chordPlaces = [...places];
  for (const cluster of clusterOnsets(part, places, all)) {
    for (const note of cluster.notes) chordPlaces[note] = cluster.place;
  }
  const staves = stavesOf(part, chordPlaces);
  const streams = [1, 2].map((staff) =>
    staffStream(
      part,
      time,
      places,
      all.filter((index) => staves[index] === staff),
    ),
  );
  const counts = SUBDIVISION_KINDS.map((_, kind) =>
    streams.reduce((sum, stream) => sum + (stream.counts[kind] ?? 0), 0),
  );
  return { places, staves, streams, counts };
}

/** Later passes: written onsets of a part, with priors learned from the part itself and a little from the whole stage. */
export function gridOf(part: Part, first: FirstReading, stageCounts: readonly number[]): PartGrid {
  const whole = stageCounts.reduce((sum, count) => sum + count, 0);
  const borrowed = whole > 0 ? Math.min(1, 20 / whole) : 0;
  const borrowedCounts = stageCounts.map((count) => borrowed * count);
  let counts = first.counts;
  let paths: Subdivision[][] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const priors = learnedPriors(counts.map((count, kind) => count + (borrowedCounts[kind] ?? 0)));
    paths = first.streams.map((stream) => searchCells(part, stream.filled, stream.spreadMs, priors));
    counts = countsOf(paths);
  }
  const onsets: number[] = part.notes.map(() => 0);
  const chosen: Map<number, Subdivision>[] = [];
  let doubtful = 0;
  for (const [staff, stream] of first.streams.entries()) {
    const path = paths[staff] ?? [];
    eachPlacing(stream.filled, path, (cluster, written) => {
      for (const note of cluster.notes) {
        onsets[note] = written;
        if (Math.abs((first.places[note] ?? 0) - written) > DOUBTFUL_DIVISIONS) doubtful++;
      }
    });
    const byCell = new Map<number, Subdivision>();
    for (const [index, item] of stream.filled.entries()) {
      const subdivision = path[index];
      if (subdivision !== undefined) byCell.set(item.cellIndex, subdivision);
    }
    chosen.push(byCell);
  }
  const doubtfulShare = part.notes.length === 0 ? 0 : doubtful / part.notes.length;
  return { onsets, places: first.places, staves: first.staves, chosen, doubtfulShare };
}
