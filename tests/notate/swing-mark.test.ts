import { describe, expect, it } from 'vitest';
import { withSwing } from '../../src/notate/swing-mark.ts';
import { GUITAR_AND_ENSEMBLE, scoreOf } from '../support/score.ts';

describe('swing', () => {
  const score = scoreOf(GUITAR_AND_ENSEMBLE, [{ staves: [['C4:1'], [], []], tempoText: '♩ = 120' }]);

  it('is said once, before the first tempo mark', () => {
    expect(withSwing(score, { ratio: 2 }).bars[0]!.tempoText).toBe('Swing ♩ = 120');
  });

  it('is not said of even eighths, nor of a score without bars', () => {
    expect(withSwing(score, undefined)).toBe(score);
    expect(withSwing({ ...score, bars: [] }, { ratio: 2 }).bars).toEqual([]);
  });
});
