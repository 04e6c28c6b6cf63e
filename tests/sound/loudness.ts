/** A meter after ITU-R BS.1770-5, annex 1, for one channel: two filters, then the mean square. */

/** Tables 1 and 2 of the standard, at 48 kHz. */
const STAGES = [
  [1.53512485958697, -2.69169618940638, 1.19839281085285, -1.69065929318241, 0.73248077421585],
  [1, -2, 1, -1.99004745483398, 0.99007225036621],
] as const;

export const METER_RATE = 48000;

/** Samples at 48 kHz after both filters. */
export function kWeighted(samples: ArrayLike<number>): Float64Array {
  let signal = Float64Array.from(samples);
  for (const [b0, b1, b2, a1, a2] of STAGES) {
    const filtered = new Float64Array(signal.length);
    let [in1, in2, out1, out2] = [0, 0, 0, 0];
    for (let index = 0; index < signal.length; index++) {
      const now = signal[index]!;
      const out = b0 * now + b1 * in1 + b2 * in2 - a1 * out1 - a2 * out2;
      [in2, in1, out2, out1] = [in1, now, out1, out];
      filtered[index] = out;
    }
    signal = filtered;
  }
  return signal;
}

/** Mean square between two moments in seconds. */
export function meanSquare(signal: Float64Array, from: number, to: number): number {
  const [first, last] = [
    Math.max(0, Math.round(from * METER_RATE)),
    Math.min(signal.length, Math.round(to * METER_RATE)),
  ];
  let sum = 0;
  for (let index = first; index < last; index++) sum += signal[index]! ** 2;
  return last > first ? sum / (last - first) : 0;
}

/** Loudness in LKFS of a stretch of one weighted channel. */
export function loudness(signal: Float64Array, from: number, to: number): number {
  return -0.691 + 10 * Math.log10(meanSquare(signal, from, to));
}
