/**
 * Written onsets of all parts of a stage, read several times: each reading teaches the next how the playing spreads, which rhythms the
 * music uses, and where the other parts have their onsets.
 */
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import type { Ballots, Votes } from './shared-subdivisions.ts';
import { NO_VOTES, ballotsByVoter, ballotsOf, votesOf } from './shared-subdivisions.ts';
import type { Explain } from '../explain.ts';
import type { KnownParts } from '../known-parts.ts';
import { asPlayed, knownParts } from '../known-parts.ts';
import type { PartGrid } from './quantised-part.ts';
import { hasTwoStaves, writtenStavesOf } from '../voices/hands.ts';
import { millisecondsPerDivision } from './onset-candidates.ts';
import type { OnsetPath, SearchCosts } from './straight-or-triplet.ts';
import { searchOnsets } from './straight-or-triplet.ts';
import { ornamentsOf } from '../ornaments/ornaments.ts';
import type { PartStreams, Stream } from './onsets-by-hand.ts';
import { ensembleOf, streamsOf, withOrnaments } from './onsets-by-hand.ts';
import type { RhythmCounts } from './rhythm-counts.ts';
import { addCounts, keptShares, noCounts, stepCosts } from './rhythm-counts.ts';
import { FIRST_PRIORS, learnedPriors } from './rhythm-priors.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { cellIndexAtDivision } from '../score-time/score-time.ts';
import type { Subdivision } from './subdivisions.ts';
import { SUBDIVISION_KINDS } from './subdivisions.ts';
import type { ClockedPart } from '../swing/swing-clock.ts';

const DOUBTFUL_DIVISIONS = 0.15 * DIVISIONS_PER_QUARTER;
const FIRST_SPREAD_MS = 18;
const LEAST_SPREAD_MS = 4;
const MOST_SPREAD_MS = 32;
const ROUNDS = 3;
/** What the rest of the stage is worth to a part, in cells. */
const BORROWED_CELLS = 20;

interface Reading {
  readonly parts: PartStreams;
  readonly paths: readonly OnsetPath[];
  readonly spreads: readonly number[];
  readonly counts: RhythmCounts;
  /** What each stream was searched with. */
  readonly costs: readonly SearchCosts[];
}

/** Spread of the playing around a reading, from the median deviation (1.4826 makes it a standard deviation for a normal law). */
function spreadOf(stream: Stream, path: OnsetPath): number {
  const off = Array.from(path.states, (state) => Math.abs(stream.states.offMs[state] ?? 0)).sort((a, b) => a - b);
  const measured = 1.4826 * (off[off.length >> 1] ?? 0);
  // Few notes say little about their player: lean on the first assumption.
  const trust = off.length / (off.length + 12);
  return Math.min(MOST_SPREAD_MS, Math.max(LEAST_SPREAD_MS, trust * measured + (1 - trust) * FIRST_SPREAD_MS));
}

function countsOf(paths: readonly OnsetPath[]): RhythmCounts {
  const sum = noCounts();
  for (const path of paths) addCounts(sum, path.counts, 1);
  return sum;
}

function cellsIn(counts: RhythmCounts): number {
  return counts.kinds.reduce((sum, count) => sum + count, 0);
}

function readAgain(
  parts: PartStreams,
  before: Reading | undefined,
  whole: RhythmCounts,
  votes: readonly Votes[],
): Reading {
  const known = noCounts();
  addCounts(known, whole, Math.min(1, BORROWED_CELLS / Math.max(1, cellsIn(whole))));
  if (before !== undefined) addCounts(known, before.counts, 1);
  const priors = learnedPriors(known.kinds);
  const steps = stepCosts(known);
  const notes = known.together + known.apart;
  const together = -Math.log((known.together + 1) / (notes + 3));
  const apart = -Math.log((known.apart + 2) / (notes + 3));
  const costs = parts.streams.map((_, index): SearchCosts => ({
    spreadMs: before?.spreads[index] ?? FIRST_SPREAD_MS,
    kinds: priors.costs,
    kept: keptShares(known),
    enterTriplets: priors.enter,
    steps,
    together,
    apart,
    votes: votes[index] ?? NO_VOTES,
  }));
  const paths = parts.streams.map(({ states, weights, apartSigns }, index) =>
    searchOnsets(states, weights, apartSigns, costs[index] as SearchCosts),
  );
  const spreads = parts.streams.map((stream, index) => spreadOf(stream, paths[index] as OnsetPath));
  return { parts, paths, spreads, counts: countsOf(paths), costs };
}

/** Ornaments that a reading shows; the part is to be read again without them. */
function ornamented({ parts, paths, spreads }: Reading, time: ScoreTime): PartStreams {
  const { part, streams } = parts;
  const positions: number[] = part.notes.map(() => 0);
  const readings = streams.map(({ onsets, states }, index) => {
    for (const [at, state] of (paths[index] as OnsetPath).states.entries()) {
      for (const note of onsets[at]?.notes ?? []) positions[note] = states.position[state] ?? 0;
    }
    return {
      notes: onsets.flatMap((onset) => onset.notes),
      positions,
      spreadMs: spreads[index] ?? FIRST_SPREAD_MS,
      millisecondsPerDivision: (position: number) => millisecondsPerDivision(time, cellIndexAtDivision(time, position)),
    };
  });
  const found = ornamentsOf(part, readings);
  return found.unwritten.size === 0 && found.rolls.length === 0 ? parts : withOrnaments(parts, found, time);
}

function gridOf({ parts, paths }: Reading, time: ScoreTime): PartGrid {
  const { part, places, staves, streams, ornaments } = parts;
  const onsets: number[] = part.notes.map(() => 0);
  const chosen: Map<number, Subdivision>[] = [];
  let doubtful = 0;
  for (const [index, { onsets: played, states }] of streams.entries()) {
    const byCell = new Map<number, Subdivision>();
    for (const [at, state] of (paths[index] as OnsetPath).states.entries()) {
      const written = states.position[state] ?? 0;
      const together = played[at]?.notes ?? [];
      for (const note of together) {
        onsets[note] = written;
        if (together.length > 1) continue;
        if (Math.abs((places[note] ?? 0) - written) > DOUBTFUL_DIVISIONS) doubtful++;
      }
      byCell.set(states.cell[state] ?? 0, states.subdivision[state] as Subdivision);
    }
    chosen.push(byCell);
  }
  for (const { main, covers } of ornaments.trills) for (const note of covers) onsets[note] = onsets[main] ?? 0;
  for (const [note, main] of ornaments.graces) onsets[note] = onsets[main] ?? 0;
  const doubtfulShare = part.notes.length === 0 ? 0 : doubtful / part.notes.length;
  if (!hasTwoStaves(part)) return { onsets, places, staves, chosen, doubtfulShare, ornaments };
  const isBeat = (onset: number): boolean => time.cells[cellIndexAtDivision(time, onset)]?.start === onset;
  // Chords are known now that were taken for single notes: no hand is left with one note of another's.
  const every = new Map(chosen.flatMap((byCell) => [...byCell]));
  const filled = chosen.map((byCell) => new Map([...every, ...byCell]));
  return { onsets, places, staves: writtenStavesOf(part, onsets, isBeat), chosen: filled, doubtfulShare, ornaments };
}

/** Onsets of many players scatter enough to look like finer values. */
const ENSEMBLE_FINE = 1;

/** All onsets of the stage read as if one player had them: the playing of many together spreads less than that of one. */
function ensembleBallots(all: readonly PartStreams[], time: ScoreTime): readonly Ballots[] {
  const streams = all.flatMap((parts) => parts.streams);
  if (streams.length < 2) return [];
  const { stream, owners } = ensembleOf(streams, time);
  const nothing = noCounts();
  const path = searchOnsets(stream.states, stream.weights, stream.apartSigns, {
    spreadMs: FIRST_SPREAD_MS,
    kinds: FIRST_PRIORS.costs.map(
      (cost, kind) => cost + (SUBDIVISION_KINDS[kind]?.family === 'fine' ? ENSEMBLE_FINE : 0),
    ),
    kept: keptShares(nothing),
    enterTriplets: FIRST_PRIORS.enter,
    steps: stepCosts(nothing),
    together: 0.3,
    apart: 1.3,
    votes: NO_VOTES,
  });
  return ballotsByVoter(stream.states, path.states, streams.length, (onset) => owners[onset] ?? 0);
}

/** Grids of the parts of a stage, in their order. */
export function gridsOf(
  parts: readonly ClockedPart[],
  time: ScoreTime,
  explain?: Explain,
  known: KnownParts = knownParts(),
): PartGrid[] {
  let streams = parts.map(({ part, timeline }) => ({
    ...known.recall('streams', part.id, [asPlayed(part), timeline, time], () => streamsOf(part, timeline, time)),
    part,
  }));
  let ballots = ensembleBallots(streams, time);
  let readings: Reading[] | undefined;
  for (let round = 0; round < ROUNDS; round++) {
    const whole = noCounts();
    for (const reading of readings ?? []) addCounts(whole, reading.counts, 1);
    const votes = votesOf(ballots);
    let next = 0;
    readings = streams.map((parts, index) => {
      const own = votes.slice(next, next + parts.streams.length);
      next += parts.streams.length;
      return readAgain(parts, readings?.[index], whole, own);
    });
    if (round === ROUNDS - 2) streams = readings.map((reading) => ornamented(reading, time));
    ballots = readings.flatMap(({ parts, paths }) =>
      parts.streams.map((stream, index) => ballotsOf(stream.states, (paths[index] as OnsetPath).states)),
    );
  }
  for (const { parts, costs } of readings ?? []) explain?.onsets?.({ parts, costs });
  return (readings ?? []).map((reading) => gridOf(reading, time));
}
