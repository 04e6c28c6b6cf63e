/** What the searches for misplaced passages have in common: runs of bars, and the ways to stand a bar or a beat beside the right place. */
import type { Bar } from '../../model/music/timeline.ts';
import { pulseQuarters } from '../../model/music/timeline.ts';

/** Bars by index, both ends included. */
interface Run {
  readonly from: number;
  readonly to: number;
}

/** True where two runs have a bar in common. */
export function meet(one: Run, other: Run): boolean {
  return one.from <= other.to && one.to >= other.from;
}

/** Those that meet none before them. */
export function apart<Passage extends Run>(passages: readonly Passage[]): Passage[] {
  return passages.filter((passage, index) => !passages.slice(0, index).some((other) => meet(other, passage)));
}

export type Slip = 'a bar late' | 'a bar early' | 'a beat late' | 'a beat early';

const pulseOf = (bar: Bar | undefined): number => pulseQuarters(bar?.meter ?? { numerator: 4, denominator: 4 });

/** Where the notes of a bar, by index, would stand, in quarters from where they do, if it were not for the slip; 0 where there is no such place. */
export const SLIPS: readonly (readonly [Slip, (bars: readonly Bar[], bar: number) => number])[] = [
  ['a bar late', (bars, bar) => -(bars[bar - 1]?.lengthQuarters ?? 0)],
  ['a bar early', (bars, bar) => bars[bar]?.lengthQuarters ?? 0],
  ['a beat late', (bars, bar) => -pulseOf(bars[bar])],
  ['a beat early', (bars, bar) => pulseOf(bars[bar])],
];
