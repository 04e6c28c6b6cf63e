/** What comes again is written again (common practice, no source): one figure, one value. */
import { describe, expect, it } from 'vitest';
import { follow, poolOf } from '../../src/notate/lengths/figure-pools.ts';
import type { Sounded } from '../../src/notate/lengths/sounded.ts';

const EIGHTH = 240;
const QUARTER = 480;

/** What the strokes of one figure are read as: how long each was held, and how sure an eighth is beside a quarter. */
function readAs(strokes: readonly (readonly [held: number, eighth: number])[]): number[] {
  const notes = strokes.map(([held], at): Sounded => {
    const onset = at * QUARTER;
    const ways = [EIGHTH, QUARTER].map((length) => ({
      end: onset + length,
      measures: [],
      cost: 0,
      follows: length === QUARTER,
      canBeShort: true,
    }));
    return { onset, place: '0', figure: '0:480:c', next: onset + QUARTER, held, ways };
  });
  const starts = Int32Array.from([...notes.keys(), notes.length], (at) => 2 * at);
  const chances = Float64Array.from(strokes.flatMap(([, eighth]) => [eighth, 1 - eighth]));
  follow(
    starts,
    chances,
    poolOf(notes, 2 * notes.length, ({ figure }) => figure),
    new Int32Array(notes.length).fill(-1),
  );
  return strokes.map((_, at) => ((chances[2 * at] as number) >= (chances[2 * at + 1] as number) ? EIGHTH : QUARTER));
}

describe('a stroke near the border of two values', () => {
  const damped = Array.from({ length: 14 }, (_, at) => [205 + 2 * at, 0.9] as const);

  it('is read as nearly all strokes of its figure that were held about as long', () => {
    expect(readAs([...damped, [236, 0.4]])).toEqual([...damped, 0].map(() => EIGHTH));
  });

  it('keeps its own value where it was held longer than they were', () => {
    expect(readAs([...damped, [330, 0.4]]).at(-1)).toBe(QUARTER);
  });

  it('keeps its own value where those around it are read in both ways', () => {
    const both = damped.map(([held], at) => [held, at % 2 === 0 ? 0.8 : 0.2] as const);
    expect(readAs([...both, [236, 0.4]]).at(-1)).toBe(QUARTER);
  });
});
