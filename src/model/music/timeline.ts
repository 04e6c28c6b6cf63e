import { lastAtOrBefore } from '../sorted-search.ts';
/**
 * Time of a stage. Two clocks: quarter notes (0 at the start of bar 1, a pickup is negative) and seconds (0 at the
 * first bar of the stage, pickup included).
 */

export interface Meter {
  readonly numerator: number;
  /** 1, 2, 4, 8, 16 ... */
  readonly denominator: number;
}

/** One bar. `number` counts as a musician does; a pickup is bar 0. */
export interface Bar {
  readonly number: number;
  readonly startQuarters: number;
  readonly lengthQuarters: number;
  readonly startSecond: number;
  readonly lengthSeconds: number;
  readonly meter: Meter;
  /** Quarter notes per minute at the start of the bar. */
  readonly tempo: number;
}

/** From `startQuarters` on, a quarter note lasts `secondsPerQuarter`. Segments are sorted and the first one covers all before it. */
export interface TempoSegment {
  readonly startQuarters: number;
  readonly startSecond: number;
  readonly secondsPerQuarter: number;
}

export interface Timeline {
  readonly bars: readonly Bar[];
  readonly tempo: readonly TempoSegment[];
  /** Played without a click: its beats say nothing, and places are told by the clock. Set where findings are made. */
  readonly isFree?: boolean;
}

/** Seconds at a position in quarter notes. */
export function secondAt(timeline: Timeline, quarters: number): number {
  const segment = timeline.tempo[lastAtOrBefore(timeline.tempo, quarters, (item) => item.startQuarters)];
  if (segment === undefined) return quarters * 0.5;
  return segment.startSecond + (quarters - segment.startQuarters) * segment.secondsPerQuarter;
}

/** Position in quarter notes at a time in seconds. */
export function quartersAt(timeline: Timeline, second: number): number {
  const segment = timeline.tempo[lastAtOrBefore(timeline.tempo, second, (item) => item.startSecond)];
  if (segment === undefined) return second / 0.5;
  return segment.startQuarters + (second - segment.startSecond) / segment.secondsPerQuarter;
}

const startOfBar = (bar: Pick<Bar, 'startQuarters'>): number => bar.startQuarters;

/** Index into `bars` of the bar that holds a position; clamped to the first and last bar. -1 where there are no bars. */
export function barIndexAt(bars: readonly Pick<Bar, 'startQuarters'>[], quarters: number): number {
  if (bars.length === 0) return -1;
  return lastAtOrBefore(bars, quarters + 1e-6, startOfBar);
}

/** True for 6/8, 9/8, 12/8 and the like, whose beats are dotted values. */
export function isCompound({ numerator, denominator }: Meter): boolean {
  return denominator >= 8 && numerator > 3 && numerator % 3 === 0;
}

/** The beat of felt pulse in quarter notes: a dotted value in compound meters (6/8, 9/8, 12/8), else the denominator's value. */
export function pulseQuarters(meter: Meter): number {
  const unit = 4 / meter.denominator;
  return isCompound(meter) ? 3 * unit : unit;
}

/** Where in its bar a position stands: bar number and beat (1-based, with fraction; beats as `pulseQuarters` has them). */
export function barAndBeat(bars: readonly Bar[], quarters: number): { readonly bar: number; readonly beat: number } {
  const bar = bars[barIndexAt(bars, quarters)];
  if (bar === undefined) return { bar: 1, beat: 1 };
  // In a pickup the beats are counted from its end: a quarter before bar 1 in 4/4 is beat 4 of bar 0.
  const fullBar = (4 * bar.meter.numerator) / bar.meter.denominator;
  const missing = bar.number === 0 && bar.lengthQuarters < fullBar ? fullBar - bar.lengthQuarters : 0;
  const beat = 1 + (quarters - bar.startQuarters + missing) / pulseQuarters(bar.meter);
  return { bar: bar.number, beat: Math.round(beat * 1000) / 1000 };
}
