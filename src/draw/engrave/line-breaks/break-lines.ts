/** Breaks a score into lines. */

export interface BarWidth {
  /** Width in the course of a line, with what changes at its start (key, meter), in pixels. */
  readonly natural: number;
  readonly least: number;
  /** What it needs more, first in a line: clef, signature. */
  readonly asFirst: number;
  /** What the line needs more that ends with it: courtesy signs for the next line. */
  readonly asLast: number;
  /** A line must begin here. */
  readonly startsLine?: boolean;
}

/** A line may be pressed to nine tenths of its natural width. */
const TIGHTEST = 0.9;
const LAST_LINE_WEIGHT = 0.3;

/**
 * Indices of the bars that start a line, 0 first, by dynamic programming over all breaks: the sum of squared relative slack
 * is smallest. A bar that is too wide by itself has its own line. Time grows with bars times bars in a line.
 */
export function breakLines(bars: readonly BarWidth[], lineWidth: (firstBar: number) => number): readonly number[] {
  const count = bars.length;
  const costs = new Float64Array(count + 1).fill(Infinity);
  const from = new Int32Array(count + 1).fill(-1);
  costs[0] = 0;
  for (let first = 0; first < count; first++) {
    const base = costs[first] ?? Infinity;
    if (base === Infinity) continue;
    const available = lineWidth(first);
    let natural = bars[first]?.asFirst ?? 0;
    let least = natural;
    for (let last = first; last < count; last++) {
      const bar = bars[last];
      if (bar === undefined || (last > first && bar.startsLine === true)) break;
      natural += bar.natural;
      least += bar.least;
      const tightest = Math.max(least, natural * TIGHTEST) + bar.asLast;
      if (tightest > available && last > first) break;
      const slack = (available - natural - bar.asLast) / available;
      // Pressing shows more than stretching.
      const badness = slack < 0 ? 4 * slack * slack : slack * slack;
      const ending = last === count - 1;
      const cost = base + (ending && slack > 0 ? LAST_LINE_WEIGHT * badness : badness);
      if (cost < (costs[last + 1] ?? Infinity)) {
        costs[last + 1] = cost;
        from[last + 1] = first;
      }
    }
  }
  const starts: number[] = [];
  for (let end = count; end > 0;) {
    const first = from[end] ?? -1;
    if (first < 0) break;
    starts.push(first);
    end = first;
  }
  return starts.reverse();
}
