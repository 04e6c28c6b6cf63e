/** The lane of flags in a line of a chart. */
import { spanInLine, type RulerLine } from '../chart/ruler.ts';
import { drawFlag, flagUnits, LANE_UNITS } from './flag.ts';
import { lanesOf } from './lanes.ts';
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
    .flatMap((mark) => {
      const span = spanInLine(line, mark.from, mark.to);
      if (span === undefined) return [];
      const width = flagUnits(mark.sign) * UNIT;
      const left = span.first.x + 1;
      const end = span.last.x + span.last.width - 1;
      return [{ mark, left, end, right: Math.max(end, left + Math.max(width, LANE_UNITS)) }];
    })
    .sort((a, b) => a.left - b.left);
  if (flags.length === 0 || flags.length > MOST_FLAGS) return { markup: '', height: 0 };
  const lanes = lanesOf(flags);
  return {
    markup: flags
      .map(({ mark, left, end }, index) =>
        drawFlag(mark, { x: left, right: end, y: top + (lanes[index] ?? 0) * LANE_UNITS, unit: UNIT }),
      )
      .join(''),
    height: (Math.max(...lanes) + 1) * LANE_UNITS,
  };
}
