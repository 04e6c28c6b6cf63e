import { describe, expect, it } from 'vitest';
import { agreedEnds } from '../../src/notate/lengths/struck-together.ts';

const HALF = 960;
const QUARTER = 480;

/** A player who is so sure of a half note, and for the rest of a quarter. */
function player(sureOfHalf: number, next: number | 'end' = 1920): Parameters<typeof agreedEnds>[0][number] {
  const ways = [HALF, QUARTER].map((end) => ({ end, measures: [], cost: 0, follows: false, canBeShort: true }));
  return {
    onset: 0,
    next: next === 'end' ? undefined : next,
    struck: false,
    ways,
    chances: [sureOfHalf, 1 - sureOfHalf],
  };
}

// Common practice, no source: players of a section who begin and go on together are written with one value.
describe('what is struck together', () => {
  it('has the value of most where one player is in doubt', () => {
    expect(agreedEnds([player(0.9), player(0.8), player(0.4)])).toEqual([HALF, HALF, HALF]);
  });

  it('has one value where all hold as long, whatever a player is used to', () => {
    const held = (sureOfHalf: number, heldMs: number): ReturnType<typeof player> => {
      const one = player(sureOfHalf);
      return { ...one, ways: one.ways.map((way) => ({ ...way, measures: [{ heldMs, lengthMs: way.end }] })) };
    };
    expect(agreedEnds([held(0.9, 700), held(0.8, 690), held(0.02, 710)])).toEqual([HALF, HALF, HALF]);
    expect(agreedEnds([held(0.9, 900), held(0.8, 890), held(0.02, 480)])).toEqual([HALF, HALF, QUARTER]);
  });

  it('keeps the value of who is clearly held shorter', () => {
    expect(agreedEnds([player(0.9), player(0.8), player(0.05)])).toEqual([HALF, HALF, QUARTER]);
  });

  it('ends together in the last chord, where somebody is less sure than elsewhere', () => {
    expect(agreedEnds([player(0.9), player(0.8), player(0.15)])).toEqual([HALF, HALF, QUARTER]);
    expect(agreedEnds([player(0.9, 'end'), player(0.8, 'end'), player(0.15, 'end')])).toEqual([HALF, HALF, HALF]);
  });

  it('is left by who lets go of the last chord a beat before the others, though he may have meant all of it', () => {
    const held = (sureOfWhole: number, heldMs: number): ReturnType<typeof player> => {
      const ways = [1920, 1440].map((end) => ({
        end,
        measures: [{ heldMs, lengthMs: end }],
        cost: 0,
        follows: false,
        canBeShort: false,
      }));
      return { ...player(sureOfWhole, 'end'), ways };
    };
    expect(agreedEnds([held(0.9, 1880), held(0.8, 1860), held(0.1, 1340)])).toEqual([1920, 1920, 1440]);
    expect(agreedEnds([held(0.9, 1880), held(0.8, 1860), held(0.1, 1600)])).toEqual([1920, 1920, 1920]);
  });

  it('is not asked of those who go on elsewhere', () => {
    expect(agreedEnds([player(0.9), player(0.4, 2880)])).toEqual([HALF, QUARTER]);
  });
});
