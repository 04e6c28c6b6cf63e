/** Room for the words above a bar: what they need more than the notes is shared by all notes under them, so that equal notes stay equally far apart. */
import type { Gap } from './springs.ts';
import { forceFor, leastWidth } from './springs.ts';

/** Words that stand at one column keep so far from what stands at another, in pixels. */
export interface Need {
  /** Indices of columns; one past the last is the bar line. */
  readonly from: number;
  readonly to: number;
  readonly px: number;
  /** What may stand in a row above its neighbours draws the notes apart only a little. */
  readonly mayRise?: boolean;
}

/** So far over their natural distance notes are drawn apart for what could stand a row higher (custom; no source gives a figure). */
const MOST_FORCE = 1.15;

/** The gaps of a bar, those under words that are wider than their notes drawn apart as a line of music is: by the time they stand for. */
export function widened(gaps: readonly Gap[], needs: readonly Need[]): readonly Gap[] {
  let wider = gaps;
  for (const { from, to, px, mayRise = false } of needs) {
    const under = wider.slice(from, to);
    if (leastWidth(under) >= px) continue;
    const force = Math.min(mayRise ? MOST_FORCE : Infinity, forceFor(under, px));
    wider = wider.map((gap, index) =>
      index < from || index >= to ? gap : { least: Math.max(gap.least, force * gap.ideal), ideal: gap.ideal },
    );
  }
  return wider;
}
