/** One cycle of a tone by timbre, made so that its loudness is known before it is played. Our own choice of partials: no instrument is imitated. */
import { kPowerGain } from './k-weighting.ts';
import type { Timbre } from './sketch.ts';

/** Samples of a cycle, and of the noise; a power of two. */
const CYCLE = 2048;
const NOISE = 65536;
const MOST_PARTIALS = 24;
/** No partial lies over this, so that none folds back at any usual rate. */
const HIGHEST_HZ = 9000;

interface TimbreRecord {
  /** Amplitude of the n-th partial. */
  readonly partial: (n: number) => number;
  readonly attackSeconds: number;
}

/** Odd partials full, even ones this much. */
const odd = (even: number, n: number): number => (n % 2 === 1 ? 1 : even);

export const TIMBRES: Readonly<Record<Timbre, TimbreRecord>> = {
  blown: { partial: (n) => odd(0.4, n) * n ** -1.6, attackSeconds: 0.03 },
  brass: { partial: (n) => n ** -0.8 * Math.exp(-n / 7), attackSeconds: 0.03 },
  bowed: { partial: (n) => n ** -1.2, attackSeconds: 0.05 },
  plucked: { partial: (n) => n ** -1.5, attackSeconds: 0.004 },
  struck: { partial: (n) => n ** -1.7, attackSeconds: 0.004 },
  sung: { partial: (n) => n ** -1.3 * (n < 6 ? 1 : 0.4), attackSeconds: 0.06 },
  bars: { partial: (n) => (n === 1 ? 1 : n === 4 ? 0.3 : 0), attackSeconds: 0.002 },
  noise: { partial: () => 0, attackSeconds: 0.002 },
  plain: { partial: (n) => n ** -1.5, attackSeconds: 0.02 },
};

export interface Waveform {
  readonly samples: Float32Array;
  /** How far to go in `samples` in a second. */
  readonly samplesPerSecond: number;
  /** Mean square after the weighting of BS.1770. */
  readonly weightedPower: number;
}

/** Frequency of a key; A4 is 440 Hz (ISO 16). */
function keyHertz(midi: number): number {
  return 440 * 2 ** ((midi - 69) / 12);
}

const cycles = new Map<string, Float32Array>();

function cycleOf(timbre: Timbre, partials: number): Float32Array {
  const key = `${timbre} ${String(partials)}`;
  let samples = cycles.get(key);
  if (samples === undefined) {
    samples = new Float32Array(CYCLE);
    for (let n = 1; n <= partials; n++) {
      const amplitude = TIMBRES[timbre].partial(n);
      // Every partial begins elsewhere in its cycle: the peaks of a tone whose partials begin together are half as high again.
      for (let index = 0; index < CYCLE; index++)
        samples[index] = (samples[index] ?? 0) + amplitude * Math.sin((2 * Math.PI * n * index) / CYCLE + n * n * 0.7);
    }
    cycles.set(key, samples);
  }
  return samples;
}

let noise: Float32Array | undefined;

/** The same noise every time: a linear congruential generator (constants of Numerical Recipes, from memory). */
function noiseSamples(): Float32Array {
  if (noise === undefined) {
    let state = 1;
    noise = Float32Array.from({ length: NOISE }, () => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return state / 2 ** 31 - 1;
    });
  }
  return noise;
}

/** Key by key from the lowest drum to the highest cymbal, the noise reaches up to so many Hz. */
function noiseWaveform(midi: number): Waveform {
  const reach = Math.min(HIGHEST_HZ, Math.max(300, 300 * 2 ** ((midi - 35) / 4)));
  let weight = 0;
  for (let step = 0.5; step < 16; step++) weight += kPowerGain((reach * step) / 16) / 16;
  // Uniform between -1 and 1 has a mean square of a third; straight lines between the samples take about a third of that away.
  return { samples: noiseSamples(), samplesPerSecond: 2 * reach, weightedPower: (weight * 2) / 9 };
}

/** What a note of this key plays. */
export function waveformOf(timbre: Timbre, midi: number): Waveform {
  if (timbre === 'noise') return noiseWaveform(midi);
  const hertz = keyHertz(midi);
  const partials = Math.max(1, Math.min(MOST_PARTIALS, Math.floor(HIGHEST_HZ / hertz)));
  let weightedPower = 0;
  for (let n = 1; n <= partials; n++) weightedPower += (TIMBRES[timbre].partial(n) ** 2 / 2) * kPowerGain(n * hertz);
  return { samples: cycleOf(timbre, partials), samplesPerSecond: hertz * CYCLE, weightedPower };
}
