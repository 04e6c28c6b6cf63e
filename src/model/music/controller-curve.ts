/** A controller curve made ready for many look-ups. */
import type { ControllerCurve } from './arrangement.ts';
import { firstReaching } from '../sorted-search.ts';

export interface PreparedCurve {
  readonly quarters: Float64Array;
  readonly settings: Float64Array;
  readonly settingBefore: number;
}

/** The same curve in typed arrays; its points are sorted already. */
export function prepareCurve({ points, settingBefore }: ControllerCurve): PreparedCurve {
  const quarters = new Float64Array(points.length);
  const settings = new Float64Array(points.length);
  points.forEach((point, index) => {
    quarters[index] = point.quarters;
    settings[index] = point.setting;
  });
  return { quarters, settings, settingBefore };
}

/** Index of the last point at or before a position; -1 before the first. */
function pointAt(curve: PreparedCurve, quarters: number): number {
  return firstReaching(curve.quarters, (place) => place > quarters) - 1;
}

/** Setting 0..127 in force at a position; a setting holds until the next one. */
export function settingAt(curve: PreparedCurve, quarters: number): number {
  const index = pointAt(curve, quarters);
  return index < 0 ? curve.settingBefore : (curve.settings[index] ?? curve.settingBefore);
}

/** True where the curve has a point after `from` and before `to`. */
export function movesBetween(curve: PreparedCurve, from: number, to: number): boolean {
  const next = curve.quarters[pointAt(curve, from) + 1];
  return next !== undefined && next < to;
}
