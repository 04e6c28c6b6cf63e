/**
 * How low an interval stays clear.
 *
 * Lowest lower note, as sounding MIDI key numbers (C4 = 60), of the glossary entry "Low Interval Limit" of a retailer of
 * musical instruments (its octave names start one lower). Tables of the trade differ by up to a fifth, so a tolerance of a
 * third belongs to it. Octaves and wider intervals have no limit there.
 */
import { frequencyHz } from '../../model/music/pitch.ts';
import { erbHz } from '../../sound/erb.ts';

/** By interval in semitones; the entry for 0 stands for a unison, which is always clear. */
const LOWEST: readonly number[] = [0, 52, 51, 48, 47, 45, 35, 37, 41, 41, 41, 41];

/** Semitones by which an interval lies under its limit; 0 where it is clear or has no limit. */
export function underLowLimit(low: number, high: number): number {
  const lowest = LOWEST[high - low];
  return lowest === undefined ? 0 : Math.max(0, lowest - low);
}

/**
 * Distance of two fundamentals in auditory bandwidths (ERB at their mean frequency): far under 1 they beat in one band,
 * which is heard as roughness.
 */
export function bandwidthsApart(low: number, high: number): number {
  const [one, other] = [frequencyHz(low), frequencyHz(high)];
  return (other - one) / erbHz((one + other) / 2);
}
