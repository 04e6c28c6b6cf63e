/** Flags that stand over the bars of a line, in as many lanes as they need. */
import { drawFlag, LANE_UNITS, reachUnits } from './flag.ts';
import { lanesOf } from './lanes.ts';
import type { PlaceMark } from './place-mark.ts';

export interface LaidFlag {
  readonly mark: PlaceMark;
  /** Left edge of the box, and right end of the line over the bars. */
  readonly x: number;
  readonly end: number;
}

export interface FlagLanes {
  /** How many lanes, of 24 units each. */
  readonly count: number;
  /** From left to right. */
  readonly flags: readonly LaidFlag[];
  /** The flags as links, the first lane at `top`. */
  readonly drawAt: (top: number) => string;
}

/** Lays flags out. `unit`: its length in the picture. */
export function flagLanes(flags: readonly LaidFlag[], unit: number): FlagLanes {
  const sorted = [...flags].sort((a, b) => a.x - b.x);
  const lanes = lanesOf(
    sorted.map(({ mark, x, end }) => ({ left: x, right: Math.max(end, x + reachUnits(mark.sign) * unit) })),
  );
  return {
    count: Math.max(0, ...lanes.map((lane) => lane + 1)),
    flags: sorted,
    drawAt: (top) =>
      sorted
        .map(({ mark, x, end }, index) =>
          drawFlag(mark, { x, right: end, y: top + (lanes[index] ?? 0) * LANE_UNITS * unit, unit }),
        )
        .join(''),
  };
}
