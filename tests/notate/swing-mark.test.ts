import { describe, expect, it } from 'vitest';
import type { SwingSpan } from '../../src/model/music/written.ts';
import { swingIntegers, withSwing } from '../../src/notate/swing/swing-mark.ts';
import { GUITAR_AND_ENSEMBLE, scoreOf } from '../support/score.ts';

const span = (from: number, to: number, changes: Partial<SwingSpan> = {}): SwingSpan => ({
  from,
  to,
  unit: 'eighth',
  ratio: 2,
  ...changes,
});

describe('swing', () => {
  const bar = { staves: [['C4:1'], [], []] };
  const score = scoreOf(GUITAR_AND_ENSEMBLE, [{ ...bar, tempoText: '♩ = 120' }, bar, bar, bar]);
  const textsWith = (...spans: SwingSpan[]): (string | undefined)[] =>
    withSwing(score, spans).bars.map((shown) => shown.tempoText);

  it('is said once, with its ratio, before the first tempo mark', () => {
    expect(textsWith(span(1, 4))).toEqual(['Swing (2 : 1) ♩ = 120', undefined, undefined, undefined]);
  });

  it('of one section begins and ends with it', () => {
    expect(textsWith(span(2, 3, { ratio: 1.6 }))).toEqual(['♩ = 120', 'Swing (1.6 : 1)', undefined, 'Even']);
  });

  it('of sixteenths says so', () => {
    expect(textsWith(span(1, 4, { unit: '16th' }))[0]).toBe('Swing sixteenths (2 : 1) ♩ = 120');
  });

  it('is not said of even eighths, nor of a score without bars', () => {
    expect(withSwing(score, undefined)).toBe(score);
    expect(withSwing({ ...score, bars: [] }, [span(1, 4)]).bars).toEqual([]);
  });

  // MusicXML 4.0: "Ratios should be specified with the smallest integers possible", 3 to 2 instead of 6 to 4.
  it('is given in the smallest whole numbers', () => {
    expect(swingIntegers(2)).toEqual([2, 1]);
    expect(swingIntegers(1.5)).toEqual([3, 2]);
    expect(swingIntegers(3)).toEqual([3, 1]);
    expect(swingIntegers(1.7)).toEqual([5, 3]);
  });
});
