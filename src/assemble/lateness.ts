/**
 * Lateness of parts: by how much a part as a whole is played after (or before) the written place, found before anything is quantised.
 *
 * Model (ours): an onset falls on the beat, its half, its quarters or its thirds, with a normal deviation, or anywhere. The shift that makes a part's onsets
 * most likely is its lateness, with a preference for small shifts and for onsets that coincide with those of other parts.
 */
import type { PlayedNote } from '../model/arrangement.ts';
import { median } from '../model/dynamics.ts';
import type { Bar, Timeline } from '../model/timeline.ts';

export interface Lateness {
  /** ms, positive where the part is late; 0 where nothing can be told. */
  readonly median: number;
  /** Robust standard deviation (1.4826 x median absolute deviation) around the written places, ms. */
  readonly spread: number;
}

interface Profile {
  readonly places: readonly (readonly [number, number])[];
  /** Taken off for each onset: straight rhythm is the usual one. */
  readonly penalty: number;
}

/**
 * Chance that an onset means each place in a quarter note, for straight, triplet and mixed rhythm; what remains is spread evenly. The chances lie close to
 * one another, so that an off-beat part is not pulled onto the beat.
 */
const PROFILES: readonly Profile[] = [
  {
    places: [
      [0, 0.36],
      [0.5, 0.24],
      [0.25, 0.16],
      [0.75, 0.16],
    ],
    penalty: 0,
  },
  {
    places: [
      [0, 0.4],
      [1 / 3, 0.26],
      [2 / 3, 0.26],
    ],
    penalty: 0.3,
  },
  {
    places: [
      [0, 0.3],
      [0.5, 0.18],
      [0.25, 0.11],
      [0.75, 0.11],
      [1 / 3, 0.1],
      [2 / 3, 0.1],
    ],
    penalty: 0.05,
  },
];
/** Deviation of single onsets played to a click, in seconds (10 to 20 ms is usual). */
const DEVIATION_SECONDS = 0.016;
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
const PHASES = 480;

interface Onset {
  readonly second: number;
  readonly quarters: number;
  readonly secondsPerQuarter: number;
  /** Position from the start of its bar. */
  readonly inBar: number;
}

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

function wrapped(phase: number): number {
  return phase - Math.floor(phase);
}

/** Log likelihood of a phase (0..1 of a quarter note) against an even spread, as a table, for a deviation in quarter notes. */
function likelihoodTable(profile: Profile, deviation: number): Float64Array {
  const table = new Float64Array(PHASES);
  const anywhere = 1 - profile.places.reduce((sum, [, chance]) => sum + chance, 0);
  const scale = 1 / (deviation * Math.sqrt(2 * Math.PI));
  for (let index = 0; index < PHASES; index++) {
    let density = anywhere;
    for (const [place, chance] of profile.places) {
      let distance = Math.abs(index / PHASES - place);
      if (distance > 0.5) distance = 1 - distance;
      density += chance * scale * Math.exp(-0.5 * (distance / deviation) ** 2);
    }
    table[index] = Math.log(density) - profile.penalty;
  }
  return table;
}

type Tables = (secondsPerQuarter: number) => readonly Float64Array[];

/** Tables by tempo, in steps of about 5 %. */
function tableStore(): Tables {
  const known = new Map<number, readonly Float64Array[]>();
  return (secondsPerQuarter) => {
    const step = Math.round(20 * Math.log(secondsPerQuarter));
    let found = known.get(step);
    if (found === undefined) {
      const deviation = Math.min(0.1, DEVIATION_SECONDS / Math.exp(step / 20));
      found = PROFILES.map((profile) => likelihoodTable(profile, deviation));
      known.set(step, found);
    }
    return found;
  };
}

function shiftsFor(onsets: readonly Onset[]): readonly number[] {
  const tempo = median(onsets.map((onset) => onset.secondsPerQuarter)) ?? 0.5;
  const largest = Math.min(LARGEST_SHIFT_SECONDS, LARGEST_SHIFT_QUARTERS * tempo);
  const steps = Math.floor(largest / STEP_SECONDS);
  return Array.from({ length: 2 * steps + 1 }, (_, index) => (index - steps) * STEP_SECONDS);
}

interface GridFit {
  /** Log likelihood of the onsets for each shift, by the rhythm that fits best there. */
  readonly scores: Float64Array;
  /** Index of that rhythm. */
  readonly profiles: Uint8Array;
}

function gridScores(onsets: readonly Onset[], shifts: readonly number[], tables: Tables): GridFit {
  const scores = new Float64Array(shifts.length).fill(Number.NEGATIVE_INFINITY);
  const profiles = new Uint8Array(shifts.length);
  const tablesOf = onsets.map((onset) => tables(onset.secondsPerQuarter));
  PROFILES.forEach((_, profile) => {
    const tablesOfProfile = tablesOf.map((found) => found[profile] ?? new Float64Array(PHASES));
    shifts.forEach((shift, index) => {
      let sum = 0;
      for (let place = 0; place < onsets.length; place++) {
        const onset = onsets[place];
        if (onset === undefined) continue;
        const phase = Math.round(wrapped(onset.inBar - shift / onset.secondsPerQuarter) * PHASES) % PHASES;
        sum += tablesOfProfile[place]?.[phase] ?? 0;
      }
      if (sum <= (scores[index] ?? 0)) return;
      scores[index] = sum;
      profiles[index] = profile;
    });
  });
  return { scores, profiles };
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
        if ((others[near] ?? 0) > (own.get(near) ?? 0)) {
          scores[index] = (scores[index] ?? 0) + (near === bin ? COINCIDENCE : COINCIDENCE / 2);
          break;
        }
      }
    });
  }
  return scores;
}

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
  const tables = tableStore();
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
