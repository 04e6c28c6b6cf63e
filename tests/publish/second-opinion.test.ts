import { describe, expect, it } from 'vitest';
import type { BarBalance } from '../../src/model/readings/readings.ts';
import { secondOpinion } from '../../src/publish/page-data/charts/second-opinion.ts';

/** Bars from 1 with the shares that two models of hearing give: covered, audible. */
function bars(shares: readonly (readonly [number, number])[]): BarBalance[] {
  return shares.map(([maskedShare, audibleShare], index) => ({
    bar: index + 1,
    maskedShare,
    audibleShare,
    partsDb: {},
  }));
}

const CLEAR = [0.02, 0.4] as const;

describe('the second opinion on what is heard', () => {
  it('says so where no bar sinks', () => {
    expect(secondOpinion(bars([CLEAR, CLEAR, CLEAR, CLEAR])).join()).toContain('finds no bar');
  });

  it('says where both models hear the foreground sink', () => {
    const text = secondOpinion(bars([CLEAR, CLEAR, [0.8, 0.01], CLEAR, CLEAR])).join();
    expect(text).toContain('agrees: they sink in bar 3.');
    expect(text).not.toContain('disagree');
  });

  it('says where only one of them does', () => {
    const text = secondOpinion(bars([CLEAR, CLEAR, [0.05, 0.02], CLEAR, [0.6, 0.4]])).join();
    expect(text).toContain('less than a third of the usual in bar 3, where little counts as masked');
    expect(text).toContain('as well as elsewhere in bar 5, where half or more counts as masked');
    expect(text).toContain('the two disagree');
  });

  it('is silent where there is nothing to compare', () => {
    expect(secondOpinion([])).toEqual([]);
    expect(secondOpinion(bars([CLEAR, CLEAR, [0.05, 0.02]]))).toEqual([]);
    expect(secondOpinion([{ bar: 1, partsDb: {} }])).toEqual([]);
  });
});
