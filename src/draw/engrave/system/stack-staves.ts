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

/** Shares of more room: two staves of one player stay nearer together, families farther apart than what is in them. */
const SHARE = { inBrace: 1, inFamily: 2, between: 3 };

/** The staves so many pixels farther apart in all; more between players and families than inside them (common practice, no source). */
export function spreadStaves(staves: readonly StaffInfo[], ys: readonly number[], airPx: number): readonly number[] {
  const shares = staves.map((info, index): number => {
    const above = staves[index - 1];
    if (above === undefined) return 0;
    if (info.brace !== '' && info.brace === above.brace) return SHARE.inBrace;
    return (info.bracket ?? '') !== '' && info.bracket === above.bracket ? SHARE.inFamily : SHARE.between;
  });
  const all = shares.reduce((sum, share) => sum + share, 0);
  let given = 0;
  return ys.map((y, index) => {
    given += shares[index] ?? 0;
    return all === 0 ? y : Math.round(y + (airPx * given) / all);
  });
}
