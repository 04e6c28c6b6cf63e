import { lastAtOrBefore } from '../../../model/sorted-search.ts';
/** Where a moment stands in a line, also between columns. */

/** The columns of one bar. */
export interface TimeSpan {
  /** Divisions at its start. */
  readonly start: number;
  readonly moments: readonly number[];
  readonly xs: readonly number[];
  readonly endX: number;
}

/** x of any moment of a line, in proportion between the columns around it. */
export function timeline(spans: readonly TimeSpan[], end: number): (divisions: number) => number {
  const times: number[] = [];
  const xs: number[] = [];
  for (const span of spans) {
    span.moments.forEach((moment, index) => {
      if (moment < (times.at(-1) ?? -Infinity)) return;
      times.push(moment);
      xs.push(span.xs[index] ?? span.endX);
    });
    if (span.moments.length === 0) {
      times.push(span.start);
      xs.push(span.endX - 60);
    }
  }
  times.push(end);
  xs.push(spans.at(-1)?.endX ?? 0);
  return (divisions) => {
    const last = lastAtOrBefore(times, divisions, (time) => time);
    const [fromTime = 0, fromX = 0] = [times[last], xs[last]];
    const [toTime = fromTime, toX = fromX] = [times[last + 1], xs[last + 1]];
    return toTime > fromTime ? fromX + ((divisions - fromTime) / (toTime - fromTime)) * (toX - fromX) : fromX;
  };
}
