/**
 * Written onsets of one part on a known beat grid. Onsets that belong to one chord are clustered; then each cell (beat) gets the
 * subdivision that explains its onsets at least cost, by a Viterbi search over the cells. The idea of a penalised choice per beat
 * and its first weights were measured on aligned piano performances; the weights here are stricter, for playing to a click.
 */
import type { Part } from '../model/arrangement.ts';
import type { Timeline } from '../model/timeline.ts';
import { barIndexAt, quartersAt } from '../model/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../model/written.ts';
import { hasTwoStaves, stavesOf } from './hands.ts';
import type { Cell, ScoreTime } from './score-time.ts';
import { cellIndexAtDivision } from './score-time.ts';
import type { Rhythm, Subdivision } from './subdivisions.ts';
import { SUBDIVISION_KINDS, subdivisionsOf } from './subdivisions.ts';

export interface Cluster {
  /** Indices into the part's notes. */
  readonly notes: readonly number[];
  /** Played place in divisions, lateness taken out. */
  readonly place: number;
  readonly milliseconds: number;
}

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

/** Notes that start within this of the last one (and twice this of the first) and sound together are one chord. */
const CHORD_GAP_MS = 35;
const DOUBTFUL_DIVISIONS = 0.15 * DIVISIONS_PER_QUARTER;
const FIRST_SPREAD_MS = 18;
const LEAST_SPREAD_MS = 6;
const MOST_SPREAD_MS = 32;
/** Most that one badly fitting onset can cost, so that a slip does not decide a beat. */
const WORST_FIT = 10;
const CHANGE_OF_FAMILY = 1.2;
const CHANGE_WITHIN_FAMILY = 0.15;
/** Readings after the first, each with the priors that the one before taught. */
const ROUNDS = 2;

/** Played places of a part's notes in divisions, with the part's median lateness removed through the tempo map. */
export function playedPlaces(part: Part, timeline: Timeline, time: ScoreTime): number[] {
  const late = part.latenessMs.median / 1000;
  return part.notes.map((note) => {
    const quarters = late === 0 ? note.startQuarters : quartersAt(timeline, note.startSecond - late);
    const bar = time.bars[barIndexAt(timeline.bars, quarters)];
    const place =
      bar === undefined
        ? quarters * DIVISIONS_PER_QUARTER
        : bar.start + (quarters - bar.startQuarters) * DIVISIONS_PER_QUARTER;
    return Math.min(Math.max(place, time.start), Math.max(time.start, time.end - 1));
  });
}

/** Groups simultaneous notes: close starts, and sounding together for half of the shorter note, so that fast runs are not chords. */
export function clusterOnsets(part: Part, places: readonly number[], indices: readonly number[]): Cluster[] {
  const clusters: Cluster[] = [];
  let members: number[] = [];
  let firstMs = 0;
  let lastMs = 0;
  const close = (): void => {
    if (members.length === 0) return;
    let sum = 0;
    let ms = 0;
    for (const index of members) {
      sum += places[index] ?? 0;
      ms += (part.notes[index]?.startSecond ?? 0) * 1000;
    }
    clusters.push({ notes: members, place: sum / members.length, milliseconds: ms / members.length });
    members = [];
  };
  for (const index of indices) {
    const note = part.notes[index];
    if (note === undefined) continue;
    const ms = note.startSecond * 1000;
    const before = part.notes[members.at(-1) ?? -1];
    const together =
      before !== undefined &&
      before.midi !== note.midi &&
      ms - lastMs < CHORD_GAP_MS &&
      ms - firstMs < 2 * CHORD_GAP_MS &&
      Math.min(before.endSecond, note.endSecond) - note.startSecond >=
        0.5 * Math.min(before.endSecond - before.startSecond, note.endSecond - note.startSecond) - 1e-9;
    if (!together) {
      close();
      firstMs = ms;
    }
    members.push(index);
    lastMs = ms;
  }
  close();
  return clusters;
}

interface Fit {
  readonly cost: number;
  readonly firstAtStart: boolean;
  readonly lastAtEnd: boolean;
}

function nearestSlot(slots: readonly number[], place: number): number {
  let best = 0;
  let distance = Infinity;
  for (let index = 0; index < slots.length; index++) {
    const from = Math.abs((slots[index] ?? 0) - place);
    if (from < distance) {
      distance = from;
      best = index;
    }
  }
  return best;
}

/** Two onsets written at one place: cheap for a spread chord, dear for notes that were clearly apart or one key struck twice. */
function mergeCost(part: Part, before: Cluster, after: Cluster): number {
  const gap = after.milliseconds - before.milliseconds;
  const again = after.notes.some((a) => before.notes.some((b) => part.notes[a]?.midi === part.notes[b]?.midi));
  return Math.min(6, Math.max(0, (gap - 40) / 12)) + (again ? 5 : 0);
}

function fitOf(
  part: Part,
  cell: Cell,
  subdivision: Subdivision,
  clusters: readonly Cluster[],
  spreadDivisions: number,
  priors: Priors,
  around: { readonly before: number; readonly after: number },
): Fit {
  let cost = priors.costs[subdivision.kind] ?? subdivision.cost;
  let slotBefore = -1;
  let firstSlot = -1;
  for (const [index, cluster] of clusters.entries()) {
    const slot = nearestSlot(subdivision.slots, cluster.place - cell.start);
    const off = cluster.place - cell.start - (subdivision.slots[slot] ?? 0);
    const spread = spreadDivisions / Math.sqrt(Math.min(3, cluster.notes.length));
    cost += Math.min(WORST_FIT, (off * off) / (2 * spread * spread));
    const before = clusters[index - 1];
    if (slot === slotBefore && before !== undefined) cost += mergeCost(part, before, cluster);
    if (subdivision.alone > 0 && (subdivision.slots[slot] ?? 0) % subdivision.coarser !== 0) {
      const earlier = before?.place ?? around.before;
      const later = clusters[index + 1]?.place ?? around.after;
      const reach = 1.5 * subdivision.step;
      if (cluster.place - earlier > reach && later - cluster.place > reach) cost += subdivision.alone;
    }
    if (index === 0) firstSlot = slot;
    slotBefore = slot;
  }
  return { cost, firstAtStart: firstSlot === 0, lastAtEnd: slotBefore === subdivision.slots.length - 1 };
}

interface FilledCell {
  readonly cellIndex: number;
  readonly cell: Cell;
  readonly clusters: readonly Cluster[];
  readonly millisecondsPerDivision: number;
}

function fillCells(time: ScoreTime, clusters: readonly Cluster[]): FilledCell[] {
  const filled: { cellIndex: number; cell: Cell; clusters: Cluster[]; millisecondsPerDivision: number }[] = [];
  for (const cluster of clusters) {
    let index = cellIndexAtDivision(time, cluster.place);
    const here = time.cells[index];
    const next = time.cells[index + 1];
    // A cell begins a little early: who comes in before the beat means the beat.
    if (here !== undefined && next !== undefined && next.start - cluster.place < here.length / 16) index++;
    const cell = time.cells[index];
    if (cell === undefined) continue;
    const last = filled.at(-1);
    if (last?.cellIndex === index) last.clusters.push(cluster);
    else {
      const secondsPerQuarter = time.bars[cell.barIndex]?.secondsPerQuarter ?? 0.5;
      const millisecondsPerDivision = (secondsPerQuarter * 1000) / DIVISIONS_PER_QUARTER;
      filled.push({ cellIndex: index, cell, clusters: [cluster], millisecondsPerDivision });
    }
  }
  return filled;
}

function changeCost(from: Subdivision, to: Subdivision, priors: Priors): number {
  if (from.family === to.family) return from.kind === to.kind ? 0 : CHANGE_WITHIN_FAMILY;
  return to.family === 'triplet' && from.family === 'straight' ? priors.enter : CHANGE_OF_FAMILY;
}

function searchCells(part: Part, filled: readonly FilledCell[], spreadMs: number, priors: Priors): Subdivision[] {
  let costs: number[] = [];
  let fitsBefore: readonly Fit[] = [];
  let optionsBefore: readonly Subdivision[] = [];
  const back: number[][] = [];
  for (const [index, item] of filled.entries()) {
    const options = subdivisionsOf(item.cell.length);
    const spread = Math.max(5, spreadMs / item.millisecondsPerDivision);
    const before = filled[index - 1];
    const adjacent = before?.cellIndex === item.cellIndex - 1;
    const lastCluster = before?.clusters.at(-1);
    const firstCluster = item.clusters[0];
    const joint =
      adjacent && lastCluster !== undefined && firstCluster !== undefined
        ? mergeCost(part, lastCluster, firstCluster)
        : 0;
    const around = {
      before: lastCluster?.place ?? -Infinity,
      after: filled[index + 1]?.clusters[0]?.place ?? Infinity,
    };
    const fits = options.map((option) => fitOf(part, item.cell, option, item.clusters, spread, priors, around));
    const nextCosts: number[] = [];
    const pointers: number[] = [];
    for (const [to, option] of options.entries()) {
      const fit = fits[to];
      let best = before === undefined ? (option.family === 'triplet' ? priors.enter : 0) : Infinity;
      let from = 0;
      for (const [candidate, earlier] of optionsBefore.entries()) {
        let step = costs[candidate] ?? 0;
        step += changeCost(earlier, option, priors);
        if (fitsBefore[candidate]?.lastAtEnd === true && fit?.firstAtStart === true) step += joint;
        if (step < best) {
          best = step;
          from = candidate;
        }
      }
      nextCosts.push(best + (fit?.cost ?? 0));
      pointers.push(from);
    }
    costs = nextCosts;
    back.push(pointers);
    fitsBefore = fits;
    optionsBefore = options;
  }
  let state = costs.indexOf(Math.min(...costs));
  const path: Subdivision[] = [];
  for (let index = filled.length - 1; index >= 0; index--) {
    const option = subdivisionsOf(filled[index]?.cell.length ?? 0)[state];
    if (option !== undefined) path.push(option);
    state = back[index]?.[state] ?? 0;
  }
  return path.reverse();
}

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

export interface Priors {
  /** By kind of subdivision, within its family. */
  readonly costs: readonly number[];
  /** Of changing from straight values to triplets. */
  readonly enter: number;
}

const FIRST_PRIORS: Priors = { costs: SUBDIVISION_KINDS.map((kind) => kind.cost), enter: 3.6 };
const LEAST_ENTER = 2;
const MOST_ENTER = 5.5;

/** How dear each kind of subdivision is, given how often a first reading used it: a piece without triplets rarely has just one. */
export function learnedPriors(counts: readonly number[]): Priors {
  const shares: number[] = SUBDIVISION_KINDS.map(() => 0);
  const sums = { straight: 10, triplet: 2, fine: 0 };
  for (const family of ['straight', 'triplet', 'fine'] as const) {
    // Fine values are set against straight ones.
    const among = (other: Rhythm): boolean => other === family || (family === 'fine' && other === 'straight');
    const weights = SUBDIVISION_KINDS.map((kind) => (among(kind.family) ? Math.exp(-kind.cost) : 0));
    const whole = weights.reduce((sum, weight) => sum + weight, 0);
    for (const [index, kind] of SUBDIVISION_KINDS.entries()) {
      if (kind.family !== family) continue;
      sums[family] += counts[index] ?? 0;
      shares[index] = (counts[index] ?? 0) + (10 * (weights[index] ?? 0)) / whole;
    }
  }
  const most = { straight: 0, triplet: 0, fine: 0 };
  for (const [index, kind] of SUBDIVISION_KINDS.entries()) {
    most[kind.family] = Math.max(most[kind.family], shares[index] ?? 0);
  }
  most.fine = most.straight;
  const costs = SUBDIVISION_KINDS.map((kind, index) =>
    Math.min(kind.cost + 3, Math.max(0, 0.9 * Math.log(most[kind.family] / (shares[index] ?? 1)) + 0.3 * kind.cost)),
  );
  const enter = 1.5 + 0.9 * Math.log(sums.straight / sums.triplet);
  return { costs, enter: Math.min(MOST_ENTER, Math.max(LEAST_ENTER, enter)) };
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
