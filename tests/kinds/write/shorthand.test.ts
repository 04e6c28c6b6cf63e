import { describe, expect, it } from 'vitest';
import { barsOf, strengthFrom } from './bars.ts';
import { writtenIn } from './shorthand.ts';

const BARS = barsOf(3, [{ fromBar: 1, numerator: 3, denominator: 4 }], 1);
const told = (text: string): string[] =>
  writtenIn(BARS, text).map(({ start, length, pitch, midi }) => `${start}+${length} ${pitch ?? midi}`);

describe('the shorthand of the folders', () => {
  it('counts quarters from bar 1, a pickup before it, and keeps a length until the next', () => {
    expect(told('0 G4 | C5:2 D5:1')).toEqual(['-1+1 G4', '0+2 C5', '2+1 D5']);
  });

  it('holds on over the bar line, writes chords, rests and drums', () => {
    expect(told('1 C4+E4:3 | =:1 -:1 k')).toEqual(['0+4 C4', '0+4 E4', '5+1 36']);
  });

  it('repeats bars, and lets a later line replace an earlier one', () => {
    expect(told('1 C4:3 | % | %1\n2 D4:1')).toEqual(['0+3 C4', '3+1 D4', '6+3 C4']);
  });

  it('refuses a bar that is too full and a bar that is not there', () => {
    expect(() => told('1 C4:4')).toThrow('bar 1 is too full');
    expect(() => told('4 C4:1')).toThrow('no bar 4');
  });

  it('grows evenly from mark to mark where an arrow says so, else holds', () => {
    const strength = strengthFrom(BARS, '1:p> 3:f');
    expect(strength(0)).toBeCloseTo(0.3);
    expect(strength(3)).toBeCloseTo(0.5);
    expect(strength(7)).toBeCloseTo(0.7);
  });
});
