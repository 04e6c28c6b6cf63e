/** Sheets of the short score without a third of them white at the foot: common practice of copyists, no source. */
import { describe, expect, it } from 'vitest';
import { spreadSystems } from '../../src/publish/page-data/score/spread-systems.ts';

/** An upright A4 sheet has 178 by 273 mm of music, one of letter size 184 by 255. */
const MM_WIDE = 178;

/** A system so many millimetres high on A4, without texts. */
function system(millimetres: number, leftOut: readonly string[] = []) {
  const down = (millimetres / MM_WIDE) * 1200;
  return { viewBox: `0 0 1200 ${down.toFixed(1)}`, lanes: 0, doublings: [], leftOut, notes: [] };
}

const several = (count: number, millimetres: number) => Array.from({ length: count }, () => system(millimetres));

describe('systems on their sheets', () => {
  it('stand apart so that they fill a sheet, the first of each at its head, those of the last sheet as they are', () => {
    const steps = spreadSystems(several(8, 75), [], 'a4');
    expect(steps.slice(6)).toEqual([0, 0]);
    expect([steps[0], steps[3]]).toEqual([0, 0]);
    // Three of 75 mm and what is round them leave about 40 mm: two gaps of some 15 mm.
    for (const step of [steps[4], steps[5]]) expect(step! * 3).toBeGreaterThan(12);
    for (const step of [steps[4], steps[5]]) expect(step! * 3).toBeLessThan(20);
  });

  it('never go beyond the foot of their sheet', () => {
    for (let high = 40; high < 130; high += 7) {
      const steps = spreadSystems(several(9, high), ['One sentence above them.'], 'a4');
      // A sheet is one system at its head and those after it that are moved.
      const sheets: number[] = [];
      for (const step of steps) {
        if (step === 0) sheets.push(high);
        else sheets.push((sheets.pop() ?? 0) + high + step * 3);
      }
      expect(Math.max(...sheets)).toBeLessThanOrEqual(273);
    }
  });

  it('are at most 30 mm apart', () => {
    expect(Math.max(...spreadSystems(several(6, 100), [], 'a4'))).toBe(10);
  });

  it('are left as they are where it cannot be reckoned whether one more stands on the sheet', () => {
    const full = spreadSystems([...several(2, 80), system(93), ...several(3, 80)], [], 'a4');
    expect(full).toEqual([0, 0, 0, 0, 0, 0]);
  });

  it('have less room where a sentence says what was left out, and on a sheet of letter size', () => {
    const plain = spreadSystems(several(7, 78), [], 'a4');
    const texts = spreadSystems([...several(4, 78), system(78, ['inner line of Va']), ...several(2, 78)], [], 'a4');
    expect(texts[4]!).toBeLessThan(plain[4]!);
    expect(spreadSystems(several(7, 74), [], 'letter')[4]!).toBeLessThan(spreadSystems(several(7, 74), [], 'a4')[4]!);
  });
});
