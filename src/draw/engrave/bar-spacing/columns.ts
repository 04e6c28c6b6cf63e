/** The columns of a bar: its moments, what stands at each of them, and the springs between. */
import type { ScoreBar, WrittenEvent } from '../../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import type { Gap } from './springs.ts';
import { idealPx } from './springs.ts';
import type { Need } from './word-room.ts';
import { widened } from './word-room.ts';
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
  /** May reach over its neighbours and over the bar line: what it meets there it stands above. */
  readonly mayRise?: boolean;
}

/** Index of the last moment at or before a position (within rounding). */
export function momentIndex(moments: readonly number[], position: number): number {
  return lastAtOrBefore(moments, position + SAME_MOMENT, (moment) => moment);
}

/** From word to word of one row, and from the last to the bar line. */
function needsOf(lane: readonly PlacedWords[], moments: readonly number[]): readonly Need[] {
  return lane.flatMap(({ start, words, leftPx = 0, morePx = 0, mayRise = false }, index): readonly Need[] => {
    const from = momentIndex(moments, start);
    const width = words.widthPx - leftPx + morePx;
    const next = lane[index + 1];
    if (next !== undefined) {
      const to = momentIndex(moments, next.start);
      return to > from ? [{ from, to, px: width + WORD_PAD_PX + (next.leftPx ?? 0), mayRise }] : [];
    }
    // Words may reach over the bar line, up to where the next bar's first note can stand.
    return mayRise ? [] : [{ from, to: moments.length, px: width + WORD_PAD_PX - LEAST_LEAD_PX }];
  });
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
  const staffCount = staves.length;
  // One row of lanes for each moment; a right edge below zero says that nothing stands there.
  const lefts = new Float64Array(moments.length * staffCount);
  const rights = new Float64Array(moments.length * staffCount).fill(-1);
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
  extents.forEach((columns, staff) => {
    for (const [column, { leftPx, rightPx }] of columns) {
      lefts[column * staffCount + staff] = leftPx;
      rights[column * staffCount + staff] = rightPx;
    }
  });

  const edges = new Float64Array(staffCount).fill(-Infinity);
  const positions: number[] = [];
  for (let index = 0; index < moments.length; index++) {
    let position = index === 0 ? 0 : (positions[index - 1] ?? 0) + 1;
    for (let staff = 0; index > 0 && staff < staffCount; staff++) {
      const cell = index * staffCount + staff;
      if ((rights[cell] ?? -1) < 0) continue;
      position = Math.max(position, (edges[staff] ?? 0) + (lefts[cell] ?? 0) + COLUMN_PAD_PX);
    }
    for (let staff = 0; staff < staffCount; staff++) {
      const right = rights[index * staffCount + staff] ?? -1;
      if (right >= 0) edges[staff] = Math.max(edges[staff] ?? -Infinity, position + right);
    }
    positions.push(position);
  }
  positions.push(edges.reduce((most, edge) => Math.max(most, edge + BAR_END_PAD_PX), positions.at(-1) ?? 0));

  const ofNotes = moments.map((start, index): Gap => {
    const quarters = ((moments[index + 1] ?? end) - start) / DIVISIONS_PER_QUARTER;
    const shortestHere = shortest[index] ?? Infinity;
    return {
      least: (positions[index + 1] ?? 0) - (positions[index] ?? 0),
      ideal: idealPx(quarters, shortestHere === Infinity ? quarters : shortestHere / DIVISIONS_PER_QUARTER),
    };
  });
  const needs = lanes.flatMap((lane) => needsOf(lane, moments));
  const first = lanes.flat().filter(({ start }) => momentIndex(moments, start) === 0);
  const gaps = widened(ofNotes, needs);
  const beforeFirst = Math.max(...lefts.subarray(0, staffCount), ...first.map(({ leftPx = 0 }) => leftPx));
  const leadPx = Math.max(LEAST_LEAD_PX, beforeFirst + 8);
  return { leadPx, gaps };
}
