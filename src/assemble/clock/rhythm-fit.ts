/** How likely onsets are under a shift: the rhythm model behind the lateness of parts. */

/** An onset of a part. */
export interface Onset {
  readonly second: number;
  readonly quarters: number;
  readonly secondsPerQuarter: number;
  /** Position from the start of its bar. */
  readonly inBar: number;
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
const PLAIN_PROFILES: readonly Profile[] = [
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
/** Eighths that swing, by the share of a quarter that the long one takes: looked at only where nothing else fits well. */
const SWING_PROFILES: readonly Profile[] = [0.56, 0.6, 0.64, 0.68, 0.72].map((share) => ({
  places: [
    [0, 0.46],
    [share, 0.42],
  ],
  penalty: 0.2,
}));

export const PROFILES: readonly Profile[] = [...PLAIN_PROFILES, ...SWING_PROFILES];

/** Mean log likelihood an onset from which plain rhythm explains a part (playing with 25 ms of spread at 120 comes to about as much). */
const PLAIN_ENOUGH = 0.45;

/** Deviation of single onsets played to a click, in seconds (10 to 20 ms is usual). */
export const DEVIATION_SECONDS = 0.016;
const PHASES = 480;

/** The fraction of a position within its quarter note. */
export function wrapped(phase: number): number {
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

export type Tables = (secondsPerQuarter: number) => readonly Float64Array[];

/** Tables by tempo, in steps of about 5 %. */
export function tableStore(): Tables {
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

export interface GridFit {
  /** Log likelihood of the onsets for each shift, by the rhythm that fits best there. */
  readonly scores: Float64Array;
  /** Index of that rhythm. */
  readonly profiles: Uint8Array;
}

/** Fit of the onsets to the grid for each shift (seconds). */
export function gridScores(onsets: readonly Onset[], shifts: readonly number[], tables: Tables): GridFit {
  const count = onsets.length;
  const scores = new Float64Array(shifts.length).fill(Number.NEGATIVE_INFINITY);
  const profiles = new Uint8Array(shifts.length);
  const tablesOf = onsets.map((onset) => tables(onset.secondsPerQuarter));
  const phases = new Uint16Array(shifts.length * count);
  for (const [index, shift] of shifts.entries()) {
    for (let place = 0; place < count; place++) {
      const { inBar, secondsPerQuarter } = onsets[place] as Onset;
      phases[index * count + place] = Math.round(wrapped(inBar - shift / secondsPerQuarter) * PHASES) % PHASES;
    }
  }
  const tryProfile = (profile: number): void => {
    const tablesOfProfile = tablesOf.map((found) => found[profile] as Float64Array);
    for (let index = 0; index < shifts.length; index++) {
      let sum = 0;
      for (let place = 0; place < count; place++) {
        sum += (tablesOfProfile[place] as Float64Array)[phases[index * count + place] as number] as number;
      }
      if (sum <= (scores[index] as number)) continue;
      scores[index] = sum;
      profiles[index] = profile;
    }
  };
  for (let profile = 0; profile < PLAIN_PROFILES.length; profile++) tryProfile(profile);
  if (Math.max(...scores) < PLAIN_ENOUGH * count) {
    for (let profile = PLAIN_PROFILES.length; profile < PROFILES.length; profile++) tryProfile(profile);
  }
  return { scores, profiles };
}
