/**
 * Do the onsets of a stage have to do with its bar lines at all? Measured by how far the phases of the onsets agree: the length of the
 * mean vector on the circle (directional statistics), for a quarter note and its second, third and fourth parts.
 */
import { DIVISIONS_PER_QUARTER } from '../model/written.ts';

export interface GridTrust {
  /** 1 where all onsets lie on one grid, about 0.9/sqrt(number of onsets) for free playing. */
  readonly concentration: number;
  readonly onsets: number;
  readonly onGrid: boolean;
  /** Between the two: the rhythm is written with a warning. */
  readonly doubtful: boolean;
}

const FEWEST_ONSETS = 32;
/** Playing to a click with 20 ms of spread stays above 0.6, free playing over a dummy tempo below 0.1. */
const SURE = 0.25;
const FREE = 0.1;

/** Whether the bar lines can be trusted; `places` are played onsets in divisions, lateness taken out. */
export function gridTrust(places: readonly number[]): GridTrust {
  let concentration = 0;
  for (const parts of [1, 2, 3, 4]) {
    let x = 0;
    let y = 0;
    for (const place of places) {
      const angle = (2 * Math.PI * parts * place) / DIVISIONS_PER_QUARTER;
      x += Math.cos(angle);
      y += Math.sin(angle);
    }
    if (places.length > 0) concentration = Math.max(concentration, Math.hypot(x, y) / places.length);
  }
  const enough = places.length >= FEWEST_ONSETS;
  // Four tries at chance find about 1.6/sqrt(n).
  const limit = Math.min(SURE, Math.max(FREE, 1.6 / Math.sqrt(Math.max(1, places.length))));
  const onGrid = !enough || concentration >= limit;
  return { concentration, onsets: places.length, onGrid, doubtful: enough && onGrid && concentration < SURE };
}
