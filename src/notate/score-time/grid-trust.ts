/**
 * Do the onsets of a stage have to do with its bar lines at all? Measured by how far the phases of the onsets agree: the length of the
 * mean vector on the circle (directional statistics), for a quarter note and its second, third and fourth parts.
 */
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';

export interface GridTrust {
  /** 1 where all onsets lie on one grid, about 0.9/sqrt(number of onsets) for free playing. */
  readonly concentration: number;
  /** How many moments there are at which something begins. */
  readonly onsets: number;
  readonly onGrid: boolean;
  /** Between the two: the rhythm is written with a warning. */
  readonly doubtful: boolean;
}

const FEWEST_ONSETS = 32;
/** Playing to a click with 20 ms of spread stays above 0.6, free playing over a dummy tempo below 0.1. */
const SURE = 0.25;
const FREE = 0.1;
/** The best of four tries at chance is above 2.2/sqrt(n) once in thirty times (Rayleigh law). */
const CHANCE = 2.2;
/** The same for the best of several parts. */
const PART_CHANCE = 2.8;
/** Onsets nearer than this are one moment, in divisions: many players who follow one free player are no more witnesses than he. */
const ONE_MOMENT = 40;

/** Length of the mean vector of the places on the circle, for a quarter note or the one of its halves, thirds and fourths that agrees best. */
function concentrationOf(places: ArrayLike<number>): number {
  const sums = new Float64Array(8);
  for (let index = 0; index < places.length; index++) {
    const angle = (2 * Math.PI * (places[index] ?? 0)) / DIVISIONS_PER_QUARTER;
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    let [x, y] = [1, 0];
    // Each turn of the same angle is the next part of a quarter.
    for (let part = 0; part < 8; part += 2) {
      [x, y] = [x * cos - y * sin, x * sin + y * cos];
      sums[part] = (sums[part] as number) + x;
      sums[part + 1] = (sums[part + 1] as number) + y;
    }
  }
  let most = 0;
  for (let part = 0; part < 8; part += 2) {
    most = Math.max(most, Math.hypot(sums[part] as number, sums[part + 1] as number));
  }
  return most / Math.max(1, places.length);
}

function momentsIn(sorted: Float64Array): number {
  let moments = 0;
  let last = -Infinity;
  for (const place of sorted) {
    if (place - last < ONE_MOMENT) continue;
    moments++;
    last = place;
  }
  return moments;
}

/** Whether the bar lines can be trusted; `places` are the played onsets of all parts in divisions, lateness taken out. */
export function gridTrust(places: readonly (readonly number[])[]): GridTrust {
  const sorted = Float64Array.from(places.flat()).sort();
  const onsets = momentsIn(sorted);
  const concentration = concentrationOf(sorted);
  const enough = onsets >= FEWEST_ONSETS;
  const limit = Math.min(SURE, Math.max(FREE, CHANCE / Math.sqrt(Math.max(1, onsets))));
  if (!enough || concentration >= SURE) return { concentration, onsets, onGrid: true, doubtful: false };
  // Among fast figures that blur, one part that clearly keeps to the bar lines speaks for all.
  const clear = places.some((own) => {
    const moments = momentsIn(Float64Array.from(own).sort());
    if (moments < FEWEST_ONSETS) return false;
    return concentrationOf(own) >= Math.max(SURE, PART_CHANCE / Math.sqrt(moments));
  });
  const onGrid = clear || concentration >= limit;
  return { concentration, onsets, onGrid, doubtful: onGrid };
}
