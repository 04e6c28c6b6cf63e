/** What EBU Tech 3341 and 3342 ask of a meter beside what the dossier shows, from the same windows and gates: their signals try the meter at every moment. */
import { gated, lufs, windows } from '../../src/sound/measure/loudness.ts';

/** Steps of 10 ms in 400 ms and in 3 s. */
const MOMENTARY_STEPS = 40;
const SHORT_STEPS = 300;

/** Tech 3342, 2: blocks of 3 s begin every 100 ms (an overlap of at least 2 s is asked for), and count down to 20 dB under their mean. */
const RANGE_EVERY_STEPS = 10;
const RANGE_GATE = -20;

/** LUFS of the 400 ms before each moment. */
export function momentary(steps: ArrayLike<number>): Float64Array {
  return windows(steps, MOMENTARY_STEPS, 1).map(lufs);
}

/** LUFS of the 3 s before each moment. */
export function shortTerm(steps: ArrayLike<number>): Float64Array {
  return windows(steps, SHORT_STEPS, 1).map(lufs);
}

/** Loudness range in LU: from the tenth to the 95th hundredth of the short-term values over the gates. */
export function loudnessRange(steps: ArrayLike<number>): number {
  const counted = gated(windows(steps, SHORT_STEPS, RANGE_EVERY_STEPS), RANGE_GATE)
    .map(lufs)
    .sort();
  const at = (share: number): number => counted[Math.round((counted.length - 1) * share)] ?? 0;
  return at(0.95) - at(0.1);
}
