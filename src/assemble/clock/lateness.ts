/**
 * Lateness of parts: by how much a part as a whole is played after (or before) the written place, found before anything is quantised.
 *
 * Model (ours): an onset falls on the beat, its half, its quarters or its thirds, with a normal deviation, or anywhere. The shift that makes a part's onsets
 * most likely is its lateness, with a preference for small shifts and for onsets that coincide with those of other parts.
 */
import type { PlayedNote } from '../../model/music/arrangement.ts';
import { median } from '../../model/music/dynamics.ts';
import type { Bar, Timeline } from '../../model/music/timeline.ts';
import type { GridFit, Onset } from './rhythm-fit.ts';
import { DEVIATION_SECONDS, gridScores, PROFILES, tableStore, wrapped } from './rhythm-fit.ts';

export interface Lateness {
  /** ms, positive where the part is late; 0 where nothing can be told. */
  readonly median: number;
  /** Robust standard deviation (1.4826 x median absolute deviation) around the written places, ms. */
  readonly spread: number;
}

const LARGEST_SHIFT_SECONDS = 0.15;
/** The median of what is left over makes up for the coarse step. */
const STEP_SECONDS = 0.004;
/** A shift of nearly half an eighth note or more cannot be told from another rhythm. */
const LARGEST_SHIFT_QUARTERS = 0.225;
/** Standard deviation of the preference for small shifts, and how much of it each onset brings. */
const USUAL_SHIFT_SECONDS = 0.08;
const PREFERENCE_PER_ONSET = 0.5;
const FEWEST_ONSETS = 6;
const MOST_ONSETS = 300;
/** Gain in log likelihood, over no shift at all, that a shift must bring. */
const LEAST_GAIN = 5;
/** Mean log likelihood an onset, against an even spread, below which the part was not played to the bar lines. */
const LEAST_CONCENTRATION = 0.22;

/** Onsets of a part: what starts within 30 ms is one. At most so many, taken evenly. */
function onsetsOf(notes: readonly PlayedNote[], timeline: Timeline): readonly Onset[] {
  const onsets: Onset[] = [];
  const { bars, tempo } = timeline;
  let barIndex = 0;
  let tempoIndex = 0;
  let last = Number.NEGATIVE_INFINITY;
  const distinct: PlayedNote[] = [];
  for (const note of notes) {
    if (note.startSecond - last < 0.03) continue;
    last = note.startSecond;
    distinct.push(note);
  }
  const stride = Math.max(1, distinct.length / MOST_ONSETS);
  for (let place = 0; place < distinct.length; place += stride) {
    const note = distinct[Math.floor(place)];
    if (note === undefined) continue;
    while ((bars[barIndex + 1]?.startQuarters ?? Number.POSITIVE_INFINITY) <= note.startQuarters) barIndex++;
    while ((tempo[tempoIndex + 1]?.startQuarters ?? Number.POSITIVE_INFINITY) <= note.startQuarters) tempoIndex++;
    onsets.push({
      second: note.startSecond,
      quarters: note.startQuarters,
      secondsPerQuarter: tempo[tempoIndex]?.secondsPerQuarter ?? 0.5,
      inBar: note.startQuarters - barGridStart(bars, barIndex),
    });
  }
  return onsets;
}

/** Where beats are counted from: the bar line, or in a pickup its end. */
function barGridStart(bars: readonly Bar[], index: number): number {
  const bar = bars[index];
  if (bar === undefined) return 0;
  return bar.number === 0 ? bar.startQuarters + bar.lengthQuarters : bar.startQuarters;
}

function shiftsFor(onsets: readonly Onset[]): readonly number[] {
  const tempo = median(onsets.map((onset) => onset.secondsPerQuarter)) ?? 0.5;
  const largest = Math.min(LARGEST_SHIFT_SECONDS, LARGEST_SHIFT_QUARTERS * tempo);
  const steps = Math.floor(largest / STEP_SECONDS);
  return Array.from({ length: 2 * steps + 1 }, (_, index) => (index - steps) * STEP_SECONDS);
}

interface Choice {
  readonly shift: number;
  /** Mean gain in log likelihood an onset. */
  readonly concentration: number;
  readonly profile: number;
}

function chooseShift(shifts: readonly number[], grid: GridFit, extra: Float64Array | undefined, count: number): Choice {
  const weight = 1 + PREFERENCE_PER_ONSET * count;
  let best = (shifts.length - 1) / 2;
  let bestScore = (grid.scores[best] ?? 0) + (extra?.[best] ?? 0) + LEAST_GAIN;
  shifts.forEach((shift, index) => {
    const preference = -0.5 * weight * (shift / USUAL_SHIFT_SECONDS) ** 2;
    const score = (grid.scores[index] ?? 0) + (extra?.[index] ?? 0) + preference;
    if (score > bestScore) {
      bestScore = score;
      best = index;
    }
  });
  return {
    shift: shifts[best] ?? 0,
    concentration: (grid.scores[best] ?? 0) / Math.max(1, count),
    profile: grid.profiles[best] ?? 0,
  };
}

/** Deviations (seconds) from the nearest likely place after a shift. */
function deviations(onsets: readonly Onset[], shift: number, places: readonly number[]): number[] {
  return onsets.map((onset) => {
    const phase = wrapped(onset.inBar - shift / onset.secondsPerQuarter);
    let nearest = 1;
    for (const place of places) {
      let distance = phase - place;
      if (distance > 0.5) distance -= 1;
      if (distance < -0.5) distance += 1;
      if (Math.abs(distance) < Math.abs(nearest)) nearest = distance;
    }
    return nearest * onset.secondsPerQuarter;
  });
}

function robustDeviation(numbers: readonly number[]): number {
  const centre = median(numbers) ?? 0;
  return 1.4826 * (median(numbers.map((one) => Math.abs(one - centre))) ?? 0);
}

const HALVES: readonly number[] = [0, 0.5];
const ALL_PLACES: readonly number[] = [0, 0.25, 1 / 3, 0.5, 2 / 3, 0.75];
const BIN_SECONDS = 0.01;
const MOST_BINS = 2_000_000;
/** What a coincidence with another part's onset adds to the log likelihood. */
const COINCIDENCE = 0.7;

/** For each shift, how many onsets coincide with those of other parts. */
function coincidenceScores(
  onsets: readonly Onset[],
  shifts: readonly number[],
  others: Uint16Array,
  own: ReadonlyMap<number, number>,
): Float64Array {
  const scores = new Float64Array(shifts.length);
  for (const onset of onsets) {
    shifts.forEach((shift, index) => {
      const bin = Math.round((onset.second - shift) / BIN_SECONDS);
      for (let near = bin - 1; near <= bin + 1; near++) {
        // Most bins hold no onset of anybody.
        const all = others[near] ?? 0;
        if (all > 0 && all > (own.get(near) ?? 0)) {
          scores[index] = (scores[index] ?? 0) + (near === bin ? COINCIDENCE : COINCIDENCE / 2);
          break;
        }
      }
    });
  }
  return scores;
}

/** One store for all stages: what it holds depends on nothing but the tempo. */
const tables = tableStore();

const toMs = (seconds: number): number => Math.round(seconds * 10_000) / 10;

function summaryOf(onsets: readonly Onset[], choice: Choice): Lateness {
  const around = onsets.length < FEWEST_ONSETS || choice.concentration < LEAST_CONCENTRATION;
  if (around) {
    const spread = robustDeviation(deviations(onsets, 0, onsets.length < FEWEST_ONSETS ? ALL_PLACES : HALVES));
    return { median: 0, spread: toMs(spread) };
  }
  const places = PROFILES[choice.profile]?.places.map(([place]) => place) ?? ALL_PLACES;
  const left = deviations(onsets, choice.shift, places);
  const close = left.filter((one) => Math.abs(one) < 3 * DEVIATION_SECONDS);
  const late = choice.shift + (median(close) ?? 0);
  return { median: toMs(late) + 0, spread: toMs(robustDeviation(left)) };
}

/**
 * Lateness of each part of a stage, in ms. Parts of fewer than six onsets and parts that keep to no bar line get a median of 0; the spread of the latter,
 * measured from the half beats, is large.
 */
export function latenessOf(parts: readonly (readonly PlayedNote[])[], timeline: Timeline): readonly Lateness[] {
  const first = parts.map((notes) => {
    const onsets = onsetsOf(notes, timeline);
    if (onsets.length < FEWEST_ONSETS) return { onsets, choice: { shift: 0, concentration: 0, profile: 0 } };
    const shifts = shiftsFor(onsets);
    const grid = gridScores(onsets, shifts, tables);
    return { onsets, shifts, grid, choice: chooseShift(shifts, grid, undefined, onsets.length) };
  });
  const last = timeline.bars.at(-1);
  const bins = Math.ceil(((last?.startSecond ?? 0) + (last?.lengthSeconds ?? 0) + 1) / BIN_SECONDS);
  if (bins > MOST_BINS || parts.length < 2) return first.map(({ onsets, choice }) => summaryOf(onsets, choice));
  // Second look: the onsets of the parts that are clear about where they stand.
  const together = new Uint16Array(bins);
  const ownBins = first.map(({ onsets, choice }) => {
    const own = new Map<number, number>();
    if (choice.concentration < LEAST_CONCENTRATION) return own;
    for (const onset of onsets) {
      const bin = Math.round((onset.second - choice.shift) / BIN_SECONDS);
      own.set(bin, (own.get(bin) ?? 0) + 1);
    }
    for (const [bin, count] of own) if (bin >= 0 && bin < bins) together[bin] = (together[bin] ?? 0) + count;
    return own;
  });
  return first.map(({ onsets, shifts, grid, choice }, index) => {
    if (shifts === undefined) return summaryOf(onsets, choice);
    const extra = coincidenceScores(onsets, shifts, together, ownBins[index] ?? new Map<number, number>());
    return summaryOf(onsets, chooseShift(shifts, grid, extra, onsets.length));
  });
}
