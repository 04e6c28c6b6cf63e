/** How long a file is in bars, so that a stray event at the end of time does not become a million empty bars. */
import { MOST_BARS } from './midi-limits.ts';
import type { Division, RawMidiFile } from '../raw.ts';

/** Quarter notes of one tick; for SMPTE divisions at the default tempo of 120 quarter notes a minute. */
export function quartersPerTick(division: Division): number {
  return division.kind === 'ppq' ? 1 / division.ticksPerQuarter : 2 / division.ticksPerSecond;
}

/** Words a tick for a musician: `about 12 quarter notes`, or seconds where the file counts frames. */
export function wordsForTick(division: Division): (tick: number) => string {
  return (tick) => {
    if (division.kind === 'smpte') return `about ${Math.round(tick / division.ticksPerSecond)} seconds`;
    const quarters = Math.round(tick / division.ticksPerQuarter);
    return quarters === 1 ? 'about 1 quarter note' : `about ${quarters} quarter notes`;
  };
}

/** Number of bars from the start to `untilTick`, by the meters of the file (4/4 before the first). */
function barsUntil(untilTick: number, division: Division, meters: RawMidiFile['meters']): number {
  const quarters = quartersPerTick(division);
  let bars = 0;
  let tick = 0;
  let quartersPerBar = 4;
  for (const meter of meters) {
    if (meter.tick >= untilTick) break;
    bars += Math.ceil(((meter.tick - tick) * quarters) / quartersPerBar);
    tick = meter.tick;
    quartersPerBar = (4 * meter.numerator) / meter.denominator;
  }
  return bars + ((untilTick - tick) * quarters) / quartersPerBar;
}

export type Extent =
  | { readonly kind: 'fits'; readonly lastTick: number; readonly isShortened: boolean }
  | { readonly kind: 'too-long'; readonly bars: number };

/** Whether the notes fit into the bars that are read at most; an end far beyond the last note is drawn in. */
export function extentOf(
  lastNoteTick: number,
  lastTick: number,
  division: Division,
  meters: RawMidiFile['meters'],
): Extent {
  const bars = barsUntil(lastNoteTick, division, meters);
  if (bars > MOST_BARS) return { kind: 'too-long', bars: Math.round(bars) };
  const isShortened = barsUntil(lastTick, division, meters) > MOST_BARS;
  return { kind: 'fits', lastTick: isShortened ? lastNoteTick : lastTick, isShortened };
}
