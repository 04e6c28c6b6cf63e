/**
 * Auditory filters after B. R. Glasberg and B. C. J. Moore, Derivation of auditory filter shapes from notched-noise data,
 * Hearing Research 47 (1990) 103-138.
 */

/** Equivalent rectangular bandwidth in hertz at a centre frequency: 24.7 (4.37 f/1000 + 1). */
export function erbHz(centreHz: number): number {
  return 24.7 * ((4.37 * centreHz) / 1000 + 1);
}

/** Place on the scale of ERB numbers: 21.4 log10(4.37 f/1000 + 1). */
export function erbNumber(hz: number): number {
  return 21.4 * Math.log10((4.37 * hz) / 1000 + 1);
}

/** Frequency in hertz at a place on the scale of ERB numbers: the inverse of `erbNumber`. */
export function erbHzAt(number: number): number {
  return ((10 ** (number / 21.4) - 1) * 1000) / 4.37;
}

/**
 * Share of power that a filter lets through from a tone `erbs` bandwidths off its centre: the rounded exponential
 * (1 + p g) exp(-p g) with p = 4 f/ERB, the symmetric filter of moderate levels.
 */
export function filterShare(erbs: number): number {
  const distance = 4 * Math.abs(erbs);
  return (1 + distance) * Math.exp(-distance);
}
