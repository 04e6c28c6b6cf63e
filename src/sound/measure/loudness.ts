/** Loudness of a recording by ITU-R BS.1770-5 and EBU R 128 (Tech 3341), from its weighted power in steps of 10 ms. */
import { K_OFFSET_DB } from '../k-weighting.ts';

/** Windows begin every so many seconds; cases 10 to 14 of Tech 3341 cannot be met with steps of 100 ms. */
export const STEP_SECONDS = 0.01;

/** Gates: blocks under -70 LUFS, and those this far under the mean of the others, do not count (BS.1770-5, 2.1). */
const ABSOLUTE_GATE = -70;
const RELATIVE_GATE = -10;
/** Blocks of 400 ms begin every 100 ms. */
const BLOCK_STEPS = 40;
const BLOCK_EVERY_STEPS = 10;

/** Weight of a channel, by how many there are and its place (BS.1770-5, table 3): left, right, centre, low effects, surrounds. */
export function channelWeight(place: number, count: number): number {
  // One channel is played by both loudspeakers.
  if (count === 1) return 2;
  if (count === 5) return place < 3 ? 1 : 1.41;
  if (count > 5 && place === 3) return 0;
  return count > 5 && place > 3 ? 1.41 : 1;
}

/** LUFS of a mean weighted power; -Infinity of silence. */
export function lufs(power: number): number {
  return K_OFFSET_DB + 10 * Math.log10(power);
}

function powerAt(lufsLevel: number): number {
  return 10 ** ((lufsLevel - K_OFFSET_DB) / 10);
}

/** Means over windows of `width` steps, one every `every` steps, in order. */
export function windows(steps: ArrayLike<number>, width: number, every: number): Float64Array {
  const count = steps.length < width ? 0 : Math.floor((steps.length - width) / every) + 1;
  const sums = new Float64Array(steps.length + 1);
  for (let index = 0; index < steps.length; index++) sums[index + 1] = (sums[index] ?? 0) + (steps[index] ?? 0);
  return Float64Array.from({ length: count }, (_, index) => {
    const from = index * every;
    return Math.max(0, (sums[from + width] ?? 0) - (sums[from] ?? 0)) / width;
  });
}

function mean(values: Float64Array): number {
  return values.length === 0 ? 0 : values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** What is left of windows under both gates. */
export function gated(powers: Float64Array, relativeGate: number): Float64Array {
  const absolute = powers.filter((power) => power > powerAt(ABSOLUTE_GATE));
  const threshold = mean(absolute) * 10 ** (relativeGate / 10);
  return absolute.filter((power) => power > threshold);
}

/** LUFS of the whole; undefined where nothing is over the gates. */
export function integrated(steps: ArrayLike<number>): number | undefined {
  const counted = gated(windows(steps, BLOCK_STEPS, BLOCK_EVERY_STEPS), RELATIVE_GATE);
  return counted.length === 0 ? undefined : lufs(mean(counted));
}
