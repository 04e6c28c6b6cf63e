/** How loud the ear takes a frequency to be, by ITU-R BS.1770-5, annex 1: the two filters that are put before the mean square. */

/** Rate for which the standard gives its coefficients. */
export const RATE_HZ = 48000;

/** Tables 1 and 2: a shelf for the head, then a high-pass. */
export const K_FILTERS = [
  { b: [1.53512485958697, -2.69169618940638, 1.19839281085285], a: [1, -1.69065929318241, 0.73248077421585] },
  { b: [1, -2, 1], a: [1, -1.99004745483398, 0.99007225036621] },
] as const;

/** Loudness in LKFS of one channel is 10 log10 of its weighted mean square, and this. */
export const K_OFFSET_DB = -0.691;

function squaredSize([zero, one, two]: readonly [number, number, number], angle: number): number {
  const real = zero + one * Math.cos(angle) + two * Math.cos(2 * angle);
  const imaginary = one * Math.sin(angle) + two * Math.sin(2 * angle);
  return real * real + imaginary * imaginary;
}

/** Factor by which the filters multiply the power of a sine; frequencies over 20 kHz count as 20 kHz. */
export function kPowerGain(hertz: number): number {
  const angle = (2 * Math.PI * Math.min(hertz, 20000)) / RATE_HZ;
  return K_FILTERS.reduce((gain, { b, a }) => (gain * squaredSize(b, angle)) / squaredSize(a, angle), 1);
}
