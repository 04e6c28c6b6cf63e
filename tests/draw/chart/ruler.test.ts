import { describe, expect, it } from 'vitest';
import { GUTTER_WIDTH, PLOT_RIGHT, boxOf, rulerOf, xInBar } from '../../../src/draw/ruler/ruler.ts';
import type { Bar } from '../../../src/model/music/timeline.ts';
import { partOf, stageOf, timelineOf } from '../../support/arrangement.ts';
import { ensembleOf } from './small-stage.ts';

describe('the bar ruler', () => {
  it('sets the bars side by side without gaps, from the gutter to the margin', () => {
    const ruler = rulerOf(ensembleOf(1, 48));
    expect(ruler.lines).toHaveLength(1);
    const bars = ruler.lines[0]!.bars;
    expect(bars[0]!.x).toBe(GUTTER_WIDTH);
    bars.slice(1).forEach((box, index) => {
      expect(box.x).toBeCloseTo(bars[index]!.x + bars[index]!.width, 6);
    });
    expect(ruler.lines[0]!.right).toBeCloseTo(PLOT_RIGHT, 6);
  });

  it('makes a bar of 3/4 three quarters as wide as a bar of 4/4', () => {
    const timeline = timelineOf(4);
    const bars = timeline.bars.map((bar, index): Bar => (index === 2 ? { ...bar, lengthQuarters: 3 } : bar));
    const line = rulerOf(stageOf([], { ...timeline, bars })).lines[0]!;
    expect(line.bars[2]!.width / line.bars[1]!.width).toBeCloseTo(3 / 4, 6);
  });

  it('keeps a pickup as bar 0, narrower than bar 1', () => {
    const line = rulerOf(ensembleOf(1, 8, 1)).lines[0]!;
    expect(line.firstBar).toBe(0);
    expect(boxOf(line, 0)!.width).toBeCloseTo(boxOf(line, 1)!.width / 4, 6);
  });

  it('does not let one endless bar crush the others', () => {
    const timeline = timelineOf(8);
    const bars = timeline.bars.map((bar, index): Bar => (index === 3 ? { ...bar, lengthQuarters: 4000 } : bar));
    const line = rulerOf(stageOf([], { ...timeline, bars })).lines[0]!;
    expect(line.bars[0]!.width).toBeGreaterThan(20);
  });

  it('cuts a long piece into lines of at most 64 bars that begin after whole phrases of four', () => {
    for (const count of [64, 65, 80, 150, 1000]) {
      const lines = rulerOf(ensembleOf(1, count)).lines;
      expect(lines.flatMap((line) => line.bars.map((box) => box.number))).toEqual(
        Array.from({ length: count }, (_, index) => index + 1),
      );
      for (const line of lines) {
        expect(line.bars.length).toBeLessThanOrEqual(64);
        expect((line.firstBar - 1) % 4).toBe(0);
      }
    }
  });

  it('uses the same scale in every line', () => {
    const widths = rulerOf(ensembleOf(1, 150)).lines.flatMap((line) => line.bars.map((box) => box.width.toFixed(6)));
    expect(new Set(widths).size).toBe(1);
  });

  it('places a position inside its bar and never outside', () => {
    const box = rulerOf(ensembleOf(1, 4)).lines[0]!.bars[1]!;
    expect(xInBar(box, 6)).toBeCloseTo(box.x + box.width / 2, 6);
    expect(xInBar(box, -50)).toBe(box.x);
    expect(xInBar(box, 500)).toBeCloseTo(box.x + box.width, 6);
  });

  it('has no lines where there are no bars', () => {
    const timeline = timelineOf(0);
    expect(rulerOf(stageOf([partOf('flute', '', timeline)], timeline)).lines).toEqual([]);
  });
});
