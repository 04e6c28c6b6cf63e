/** Sets the staves of a system one under another. */
import type { StaffInfo } from '../../../model/music/written.ts';
import { bracketEndPx } from './frame.ts';
import { distanceFor, topOf } from '../ink/ink.ts';
import type { Sheet } from '../ink/sheet.ts';

export const STAFF_PX = 40;
/** From the top line of a staff to the top line of the next, at least. */
const LEAST_PX = { inBrace: 85, between: 98 };
/** Where many staves share a page they stand nearer; the ink still keeps them apart. */
const LEAST_IN_SCORE_PX = { inBrace: 70, between: 84 };
const INSIDE_FAMILY_PX = 68;
const MANY_STAVES = 6;
const CLEAR_PX = 9;
const HEAD_PX = 4;

/** y of the top line of every staff, so that no ink of one touches ink of another. */
export function stackStaves(
  staves: readonly StaffInfo[],
  sheets: readonly Sheet[],
  systemPx: number,
): readonly number[] {
  const first = sheets[0];
  const ys: number[] = [];
  if (first === undefined) return ys;
  const least = staves.length >= MANY_STAVES ? LEAST_IN_SCORE_PX : LEAST_PX;
  ys.push(Math.ceil(Math.max(bracketEndPx(staves), HEAD_PX - Math.min(0, topOf(first.ink, 0, systemPx)))));
  for (let index = 1; index < sheets.length; index++) {
    const [above, here] = [sheets[index - 1], sheets[index]];
    const [infoAbove, info] = [staves[index - 1], staves[index]];
    if (above === undefined || here === undefined) break;
    const braced = info?.brace !== '' && info?.brace === infoAbove?.brace;
    const family = (info?.bracket ?? '') !== '' && info?.bracket === infoAbove?.bracket;
    const apart = braced ? least.inBrace : family ? INSIDE_FAMILY_PX : least.between;
    ys.push((ys[index - 1] ?? 0) + Math.ceil(Math.max(apart, distanceFor(above.ink, here.ink, CLEAR_PX))));
  }
  return ys;
}
