/**
 * Key profiles from the tonic up, and the distance of a histogram of pitch classes to each key.
 * ALBRECHT_SHANAHAN: J. Albrecht and D. Shanahan, "The use of large corpora to train a new type of key-finding algorithm",
 * Music Perception 31(1), 2013, 59-67. TEMPERLEY: D. Temperley, Music and Probability, 2007 (from the Kostka-Payne excerpts).
 */
export type Mode = 'major' | 'minor';

const ALBRECHT_SHANAHAN: Readonly<Record<Mode, readonly number[]>> = {
  major: [0.238, 0.006, 0.111, 0.006, 0.137, 0.094, 0.016, 0.214, 0.009, 0.08, 0.008, 0.081],
  minor: [0.22, 0.006, 0.104, 0.123, 0.019, 0.103, 0.012, 0.214, 0.062, 0.022, 0.061, 0.052],
};

const TEMPERLEY: Readonly<Record<Mode, readonly number[]>> = {
  major: [0.748, 0.06, 0.488, 0.082, 0.67, 0.46, 0.096, 0.715, 0.104, 0.366, 0.057, 0.4],
  minor: [0.712, 0.084, 0.474, 0.618, 0.049, 0.46, 0.105, 0.747, 0.404, 0.067, 0.133, 0.33],
};

/** The 24 keys: index 0..11 major by tonic, 12..23 minor. */
export const KEY_COUNT = 24;

export function modeOf(key: number): Mode {
  return key < 12 ? 'major' : 'minor';
}

/** Euclidean distance of a histogram (12 weights) to each of the 24 keys, both scaled to sum 1. All equal where the histogram is empty. */
export function keyDistances(histogram: readonly number[]): number[] {
  const whole = histogram.reduce((sum, weight) => sum + weight, 0);
  return Array.from({ length: KEY_COUNT }, (_, key) => {
    const profile = ALBRECHT_SHANAHAN[modeOf(key)];
    const scale = profile.reduce((sum, weight) => sum + weight, 0);
    let square = 0;
    for (let above = 0; above < 12; above++) {
      const share = whole > 0 ? (histogram[(key + above) % 12] ?? 0) / whole : 0;
      square += (share - (profile[above] ?? 0) / scale) ** 2;
    }
    return Math.sqrt(square);
  });
}

const LOG_TEMPERLEY: Readonly<Record<Mode, readonly number[]>> = {
  major: logarithms(TEMPERLEY.major),
  minor: logarithms(TEMPERLEY.minor),
};

const LOG_PROFILES: readonly (readonly number[])[] = Array.from({ length: KEY_COUNT }, (_, key) =>
  Array.from({ length: 12 }, (__, pitchClass) => LOG_TEMPERLEY[modeOf(key)][(pitchClass - (key % 12) + 12) % 12] ?? 0),
);

function logarithms(profile: readonly number[]): number[] {
  const whole = profile.reduce((sum, weight) => sum + weight, 0);
  return profile.map((weight) => Math.log(weight / whole));
}

/** Natural logarithms of Temperley's profile of one of the 24 keys, by pitch class from C. */
export function logProfile(key: number): readonly number[] {
  return LOG_PROFILES[key] ?? [];
}

/** Log likelihood of a histogram (weights in quarters) under each of the 24 keys. */
export function keyLikelihoods(histogram: readonly number[]): number[] {
  return Array.from({ length: KEY_COUNT }, (_, key) => {
    const profile = LOG_TEMPERLEY[modeOf(key)];
    let sum = 0;
    for (let above = 0; above < 12; above++) sum += (histogram[(key + above) % 12] ?? 0) * (profile[above] ?? 0);
    return sum;
  });
}
