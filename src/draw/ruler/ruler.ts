/**
 * The bar ruler that every chart of a stage shares: one gutter, one plot, one place for each bar. Long pieces are cut into
 * lines of the same number of bars, at the same scale, so that they can be printed and read without scrolling down a strip.
 */
import { median } from '../../model/music/dynamics.ts';
import type { Stage } from '../../model/music/arrangement.ts';
import type { Bar, Meter } from '../../model/music/timeline.ts';

/** User units; printed on A4 one unit is about 0.21 mm. */
export const CHART_WIDTH = 800;
export const GUTTER_WIDTH = 104;
const RIGHT_MARGIN = 80;
const PLOT_WIDTH = CHART_WIDTH - GUTTER_WIDTH - RIGHT_MARGIN;
export const PLOT_RIGHT = GUTTER_WIDTH + PLOT_WIDTH;

const MOST_BARS_IN_A_LINE = 64;

/** No bar is drawn wider than this, or four bars would fill the page. */
const WIDEST_BAR = 78;

export interface BarBox {
  readonly number: number;
  readonly startQuarters: number;
  readonly lengthQuarters: number;
  readonly meter: Meter;
  readonly x: number;
  readonly width: number;
}

export interface RulerLine {
  /** 0-based. */
  readonly index: number;
  readonly bars: readonly BarBox[];
  readonly firstBar: number;
  readonly lastBar: number;
  /** x of the end of the last bar. */
  readonly right: number;
}

export interface Ruler {
  readonly lines: readonly RulerLine[];
  readonly barCount: number;
}

/**
 * Lays the bars of a stage out. The width of a bar is proportional to its length in quarters, so that beats are equally
 * wide across a change of meter; lengths beyond a quarter or four times the median bar are drawn as if at that bound,
 * or one endless bar would crush all others.
 */
export function rulerOf(stage: Stage, mostBars = MOST_BARS_IN_A_LINE): Ruler {
  const { bars } = stage.timeline;
  const most = Math.max(1, Math.floor(mostBars));
  const lineCount = Math.ceil(bars.length / most);
  if (lineCount === 0) return { lines: [], barCount: 0 };
  const perLine = barsPerLine(bars, most, lineCount);
  const usual = median(bars.map((bar) => bar.lengthQuarters)) ?? 4;
  const weight = (bar: Bar): number => (usual > 0 ? Math.min(4, Math.max(0.25, bar.lengthQuarters / usual)) : 1);
  const groups: Bar[][] = [];
  // A pickup stands before the first full line, so that later lines begin at 1 + a multiple of the line.
  let next = 0;
  while (next < bars.length) {
    const size = next === 0 && bars[0]?.number === 0 && perLine < most ? perLine + 1 : perLine;
    groups.push(bars.slice(next, next + size));
    next += size;
  }
  const widest = Math.max(...groups.map((group) => group.reduce((sum, bar) => sum + weight(bar), 0)));
  const unit = Math.min(PLOT_WIDTH / widest, WIDEST_BAR);
  return { lines: groups.map((group, index) => lineOf(group, index, unit, weight)), barCount: bars.length };
}

function barsPerLine(bars: readonly Bar[], most: number, lineCount: number): number {
  if (lineCount === 1) return bars.length;
  const even = Math.ceil(bars.length / lineCount);
  const phrase = Math.ceil(even / 4) * 4;
  return phrase <= most ? phrase : even;
}

function lineOf(bars: readonly Bar[], index: number, unit: number, weight: (bar: Bar) => number): RulerLine {
  const boxes: BarBox[] = [];
  let x = GUTTER_WIDTH;
  for (const bar of bars) {
    const width = weight(bar) * unit;
    boxes.push({
      number: bar.number,
      startQuarters: bar.startQuarters,
      lengthQuarters: bar.lengthQuarters,
      meter: bar.meter,
      x,
      width,
    });
    x += width;
  }
  return { index, bars: boxes, firstBar: boxes[0]?.number ?? 1, lastBar: boxes.at(-1)?.number ?? 1, right: x };
}

/** The box of a bar in a line, by number; undefined where the bar stands in another line. */
export function boxOf(line: RulerLine, barNumber: number): BarBox | undefined {
  const box = line.bars[barNumber - line.firstBar];
  return box?.number === barNumber ? box : line.bars.find((candidate) => candidate.number === barNumber);
}

/** x of a position in quarters within a bar's box, clamped to the box. */
export function xInBar(box: BarBox, quarters: number): number {
  if (!(box.lengthQuarters > 0)) return box.x;
  const share = (quarters - box.startQuarters) / box.lengthQuarters;
  return box.x + box.width * Math.min(1, Math.max(0, share));
}

/** The boxes of a line that a span of bar numbers covers; undefined where it covers none. */
export function spanInLine(
  line: RulerLine,
  from: number,
  to: number,
): { readonly first: BarBox; readonly last: BarBox } | undefined {
  if (to < line.firstBar || from > line.lastBar) return undefined;
  const first = boxOf(line, Math.max(from, line.firstBar));
  const last = boxOf(line, Math.min(to, line.lastBar));
  return first === undefined || last === undefined ? undefined : { first, last };
}
