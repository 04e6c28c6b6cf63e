/** The beats of a stage: the felt pulse of every bar. */
import type { Timeline } from './timeline.ts';
import { pulseQuarters } from './timeline.ts';
import { lastAtOrBefore } from '../sorted-search.ts';

export interface Beat {
  readonly barIndex: number;
  readonly startQuarters: number;
  readonly lengthQuarters: number;
}

/** Lengths of a bar's beats; a beat that is not whole stands at the end, in a pickup at the start. */
function beatLengths(barQuarters: number, pulse: number, isPickup: boolean): number[] {
  const whole = Math.floor(barQuarters / pulse + 1e-6);
  const rest = barQuarters - whole * pulse;
  const lengths = Array.from({ length: whole }, () => pulse);
  if (rest > 1e-6) {
    if (isPickup) lengths.unshift(rest);
    else lengths.push(rest);
  }
  return lengths;
}

/** All beats in order. A compound meter (6/8, 9/8, 12/8) is counted in dotted beats. */
export function beatsOf(timeline: Timeline): readonly Beat[] {
  return timeline.bars.flatMap((bar, barIndex) => {
    let startQuarters = bar.startQuarters;
    return beatLengths(bar.lengthQuarters, pulseQuarters(bar.meter), bar.number === 0).map((lengthQuarters) => {
      const beat = { barIndex, startQuarters, lengthQuarters };
      startQuarters += lengthQuarters;
      return beat;
    });
  });
}

/** Index of the beat that holds a position, clamped; -1 where there are no beats. */
export function beatIndexAt(beats: readonly Beat[], quarters: number): number {
  if (beats.length === 0) return -1;
  return lastAtOrBefore(beats, quarters + 1e-9, ({ startQuarters }) => startQuarters);
}
