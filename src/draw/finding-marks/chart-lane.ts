/** The lane of flags in a line of a chart. */
import { spanInLine, type RulerLine } from '../ruler/ruler.ts';
import { flagLanes, type LaidFlag } from './flag-lanes.ts';
import { LANE_UNITS } from './flag.ts';
import type { PlaceMark } from './place-mark.ts';

/** A chart is shown a little larger than its own units on a wide page and a little smaller on a narrow one; so a lane is 24 px. */
const UNIT = 1;
/** More flags in a line of 64 bars than this would be taller than the chart; the map of entries has all of them. */
const MOST_FLAGS = 40;

export interface ChartLane {
  readonly markup: string;
  readonly height: number;
}

/** Flags of findings in a line under `top`; nothing where there are none. Notes are on the map and in the scores. A mark that goes on from the line before has its flag again. */
export function chartLane(marks: readonly PlaceMark[], line: RulerLine, top: number): ChartLane {
  const flags = marks
    .filter(({ kind }) => kind !== 'accepted' && kind !== 'note')
    .flatMap((mark): LaidFlag[] => {
      const span = spanInLine(line, mark.from, mark.to);
      return span === undefined ? [] : [{ mark, x: span.first.x + 1, end: span.last.x + span.last.width - 1 }];
    });
  if (flags.length > MOST_FLAGS) return { markup: '', height: 0 };
  const lanes = flagLanes(flags, UNIT);
  return { markup: lanes.drawAt(top), height: lanes.count * LANE_UNITS };
}
