/** Arithmetic of levels in decibels. */

/** Level of several uncorrelated sources together: powers add. Empty input gives -Infinity. */
export function sumDb(levels: readonly number[]): number {
  let power = 0;
  for (const level of levels) power += 10 ** (level / 10);
  return 10 * Math.log10(power);
}

/** Gain in dB of controller 7 or 11 at a setting 0..127: 40 log10(setting/127). Source: General MIDI Level 2, recommended practice for volume and expression. */
export function controllerGainDb(setting: number): number {
  return setting <= 0 ? Number.NEGATIVE_INFINITY : 40 * Math.log10(Math.min(setting, 127) / 127);
}

/** Players of equal strength: 10 log10(players). */
export function playersDb(players: number): number {
  return 10 * Math.log10(Math.max(players, 1));
}

/** Mean of numbers; 0 for none. */
export function mean(numbers: readonly number[]): number {
  return numbers.length === 0 ? 0 : numbers.reduce((sum, number) => sum + number, 0) / numbers.length;
}

/** Median of numbers; undefined for none. */
export function median(numbers: readonly number[]): number | undefined {
  if (numbers.length === 0) return undefined;
  const sorted = [...numbers].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  const upper = sorted[middle];
  const lower = sorted[middle - 1];
  if (upper === undefined) return undefined;
  return sorted.length % 2 === 1 || lower === undefined ? upper : (lower + upper) / 2;
}
