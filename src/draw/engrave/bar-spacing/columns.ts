/** The columns of a bar: its moments, what stands at each of them, and the springs between. */
import type { ScoreBar, WrittenEvent } from '../../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import type { Gap } from './springs.ts';
import { idealPx } from './springs.ts';
import type { Words } from '../ink/words.ts';
import { lastAtOrBefore } from '../../../model/sorted-search.ts';

const LEAST_LEAD_PX = 13;
const COLUMN_PAD_PX = 5;
const BAR_END_PAD_PX = 9;
const WORD_PAD_PX = 9;
/** Two moments nearer than this are one: tuplets are rounded to whole divisions. */
export const SAME_MOMENT = 2;

/** Ink of a staff left and right of the edge of a column, in pixels. */
export interface Extent {
  readonly leftPx: number;
  readonly rightPx: number;
}

/** Words that stand above the bar at a moment and need room to their right. */
export interface PlacedWords {
  readonly start: number;
  readonly words: Words;
  /** Of their width what stands left of the edge of the column; and white that they need beside them. */
  readonly leftPx?: number;
  readonly morePx?: number;
}

/** Index of the last moment at or before a position (within rounding). */
export function momentIndex(moments: readonly number[], position: number): number {
  return lastAtOrBefore(moments, position + SAME_MOMENT, (moment) => moment);
}

/**
 * Room before the first column, and from each column to the next (the last to the bar line). Notes need the room of their
 * heads, dots, flags and accidentals on their own staff; words need it in their own row.
 */
export function springs(
  bar: ScoreBar,
  staves: readonly (readonly (readonly WrittenEvent[])[])[],
  extents: readonly ReadonlyMap<number, Extent>[],
  moments: readonly number[],
  lanes: readonly (readonly PlacedWords[])[],
): { readonly leadPx: number; readonly gaps: readonly Gap[] } {
  const end = bar.startDivisions + bar.lengthDivisions;
  if (moments.length === 0) {
    return {
      leadPx: LEAST_LEAD_PX,
      gaps: [{ least: 42, ideal: idealPx((end - bar.startDivisions) / DIVISIONS_PER_QUARTER, 0) }],
    };
  }
  const laneCount = staves.length + lanes.length;
  // One row of lanes for each moment; a right edge below zero says that nothing stands there.
  const lefts = new Float64Array(moments.length * laneCount);
  const rights = new Float64Array(moments.length * laneCount).fill(-1);
  const shortest = new Float64Array(moments.length).fill(Infinity);
  for (const voice of staves.flat()) {
    for (const event of voice) {
      if (event.hidden === true || event.wholeBar === true) continue;
      const eventEnd = event.start + event.length - SAME_MOMENT;
      // In free time equal time has equal room.
      const length = event.stemless === true ? bar.lengthDivisions : event.length;
      for (let index = momentIndex(moments, event.start); index < moments.length; index++) {
        if ((moments[index] ?? 0) >= eventEnd) break;
        if (length < (shortest[index] ?? Infinity)) shortest[index] = length;
      }
    }
  }
  extents.forEach((columns, lane) => {
    for (const [column, { leftPx, rightPx }] of columns) {
      lefts[column * laneCount + lane] = leftPx;
      rights[column * laneCount + lane] = rightPx;
    }
  });
  lanes.forEach((lane, laneIndex) => {
    for (const { start, words, leftPx = 0, morePx = 0 } of lane) {
      const cell = momentIndex(moments, start) * laneCount + staves.length + laneIndex;
      lefts[cell] = leftPx;
      rights[cell] = words.widthPx - leftPx + morePx + WORD_PAD_PX - COLUMN_PAD_PX;
    }
  });

  const edges = new Float64Array(laneCount).fill(-Infinity);
  const positions: number[] = [];
  for (let index = 0; index < moments.length; index++) {
    let position = index === 0 ? 0 : (positions[index - 1] ?? 0) + 1;
    for (let lane = 0; index > 0 && lane < laneCount; lane++) {
      const cell = index * laneCount + lane;
      if ((rights[cell] ?? -1) < 0) continue;
      position = Math.max(position, (edges[lane] ?? 0) + (lefts[cell] ?? 0) + COLUMN_PAD_PX);
    }
    for (let lane = 0; lane < laneCount; lane++) {
      const right = rights[index * laneCount + lane] ?? -1;
      if (right >= 0) edges[lane] = Math.max(edges[lane] ?? -Infinity, position + right);
    }
    positions.push(position);
  }
  let barEnd = positions.at(-1) ?? 0;
  edges.forEach((edge, lane) => {
    // Words may reach over the bar line, up to where the next bar's first note can stand.
    barEnd = Math.max(barEnd, edge + (lane < staves.length ? BAR_END_PAD_PX : COLUMN_PAD_PX - LEAST_LEAD_PX));
  });
  positions.push(barEnd);

  const gaps = moments.map((start, index): Gap => {
    const quarters = ((moments[index + 1] ?? end) - start) / DIVISIONS_PER_QUARTER;
    const shortestHere = shortest[index] ?? Infinity;
    return {
      least: (positions[index + 1] ?? 0) - (positions[index] ?? 0),
      ideal: idealPx(quarters, shortestHere === Infinity ? quarters : shortestHere / DIVISIONS_PER_QUARTER),
    };
  });
  const leadPx = Math.max(LEAST_LEAD_PX, Math.max(...lefts.subarray(0, laneCount)) + 8);
  return { leadPx, gaps };
}
