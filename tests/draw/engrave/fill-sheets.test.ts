/** Common practice, no source: the staves of a full score stand so far apart that its systems fill the sheet, the last one as the others. */
import { describe, expect, it } from 'vitest';
import { airOfSystems } from '../../../src/draw/engrave/score/fill-sheets.ts';

const ROOM = { first: 0.9, other: 1, filled: 1, round: 0 };

function airOf(heights: readonly number[], staves = 5): readonly number[] {
  return airOfSystems(
    heights.map((heightPx) => ({ heightPx, staves })),
    1000,
    ROOM,
  );
}

describe('the systems of a full score', () => {
  it('fill a sheet nearly and never more than that', () => {
    const heights = [390, 410, 450, 440, 430, 420];
    const set = heights.map((height, index) => height + (airOf(heights)[index] ?? 0));
    for (const [sheet, room] of [
      [set.slice(0, 2), 900],
      [set.slice(2, 4), 1000],
      [set.slice(4), 1000],
    ] as const) {
      const used = sheet.reduce((sum, height) => sum + height, 0);
      expect(used).toBeGreaterThan(0.93 * room);
      expect(used).toBeLessThanOrEqual(room);
    }
  });

  it('stand on a last sheet as far apart as on those before it, however much white is left', () => {
    const heights = [390, 410, 450, 440, 430];
    const air = airOf(heights);
    const share = (index: number): number => (air[index] ?? 0) / (heights[index] ?? 1);
    expect(share(4)).toBeGreaterThan(0);
    expect(share(4)).toBeCloseTo((share(0) + share(2)) / 2, 2);
  });

  it('stay as they are on an only sheet, where one staff has nothing beside it, and where they fill it already', () => {
    expect(airOf([300, 300])).toEqual([0, 0]);
    expect(airOf([500, 500, 500, 500], 1)).toEqual([0, 0, 0, 0]);
    expect(airOf([900, 1000, 1000]).every((px) => px === 0)).toBe(true);
  });

  it('do not fall apart where one of them leaves half a sheet', () => {
    const heights = [500, 600, 600];
    airOf(heights).forEach((px, index) => {
      expect(px).toBeLessThan(0.35 * (heights[index] ?? 0));
    });
  });
});
