/** How far systems are drawn apart so that they fill their sheets of paper, as a copyist leaves no third of a sheet white at its foot. */
import { mean } from '../../../model/music/dynamics.ts';

/** Heights on paper as shares of the width of the music. */
export interface SheetRoom {
  /** Under the headings of the first sheet, and on the others. */
  readonly first: number;
  readonly other: number;
  /** Up to so much is filled: less where another paper has less. */
  readonly filled: number;
  /** Round a system, and flags that may stand over it. */
  readonly round: number;
}

/** Of its own height a system grows by so much at most: beyond that staves no longer look like one system (custom; no source gives a figure). */
const MOST_AIR = 0.32;
/** Of what is left so much is given: what a browser makes of it cannot be reckoned to the last millimetre. */
const GIVEN = 0.94;

/**
 * Pixels that each system is to have more between its staves; in order, at the width `widthPx`. The last sheet has as much as the sheets before it had
 * on an average, and nothing where it is the only one.
 */
export function airOfSystems(
  systems: readonly { readonly heightPx: number; readonly staves: number }[],
  widthPx: number,
  room: SheetRoom,
): readonly number[] {
  const air = systems.map(() => 0);
  const roundPx = room.round * widthPx;
  const shares: number[] = [];
  /** Gives the systems of a sheet what is left on it, and returns it as a share of their heights, at most `most`. */
  const fill = (from: number, to: number, sheetPx: number, most: number): number => {
    const on = systems.slice(from, to);
    const own = on.reduce((sum, { heightPx }) => sum + heightPx, 0);
    const filledPx = sheetPx - (room.other - room.filled) * widthPx;
    const left = GIVEN * (filledPx - own - on.length * roundPx);
    const share = Math.max(0, Math.min(most, left / own));
    on.forEach(({ heightPx, staves }, index) => {
      if (staves > 1) air[from + index] = Math.floor(heightPx * share);
    });
    return share;
  };
  let from = 0;
  let sheetPx = room.first * widthPx;
  let used = 0;
  systems.forEach(({ heightPx }, index) => {
    const own = heightPx + roundPx;
    if (index > from && used + own > sheetPx) {
      shares.push(fill(from, index, sheetPx, MOST_AIR));
      from = index;
      sheetPx = room.other * widthPx;
      used = 0;
    }
    used += own;
  });
  if (shares.length > 0) fill(from, systems.length, sheetPx, mean(shares));
  return air;
}
