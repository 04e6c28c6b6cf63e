/** Bars of a sketch by time, and times by bar. */
import { lastBegun } from './last-begun.ts';
import type { SketchBar } from './sketch.ts';

type Bars = readonly SketchBar[];

/** The bar that sounds at a second; the first or last one outside. Undefined where there are no bars. */
export function barAt(bars: Bars, second: number): SketchBar | undefined {
  const index = lastBegun(bars, second, ({ start }) => start);
  return bars[Math.max(0, index)];
}

/** The bar of this number; the first or last one outside. */
export function barNumbered(bars: Bars, number: number): SketchBar | undefined {
  const index = number - (bars[0]?.number ?? 1);
  return bars[Math.min(bars.length - 1, Math.max(0, index))];
}

/** How far a bar has gone at a second, 0 to 1. */
export function shareOfBar(bar: SketchBar, second: number): number {
  return bar.end > bar.start ? Math.min(1, Math.max(0, (second - bar.start) / (bar.end - bar.start))) : 0;
}

/** The same place in another stage: as far into the bar of the same number. */
export function samePlace(from: Bars, second: number, to: Bars): number {
  const here = barAt(from, second);
  const there = here && barNumbered(to, here.number);
  return there === undefined ? 0 : there.start + shareOfBar(here ?? there, second) * (there.end - there.start);
}
