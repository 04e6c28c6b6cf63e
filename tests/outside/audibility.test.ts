/**
 * Audibility of partials against values of the model's published implementation (package parn94, MIT licence, which follows R. Parncutt and
 * H. Strasburger, Perspectives of New Music 32(2), 1994, 88-129): sonorousness and multiplicity of chords, to six digits.
 */
import { describe, expect, it } from 'vitest';
import { chordAudibilities, complexAudibility, heardBeside } from '../../src/analyse/level/masking/audibility.ts';
import type { Tone } from '../../src/analyse/level/masking/covered-share.ts';

describe('chords at 60 dB a fundamental', () => {
  it.each([
    { chord: [60, 64, 67], pureness: 0.6157366, complexity: 0.309965, multiplicity: 2.843946 },
    { chord: [60, 61, 62], pureness: 0.005490503, complexity: 0.0007320671, multiplicity: 1.293558 },
    { chord: [80, 83, 86], pureness: 0.6535714, complexity: 0.181884, multiplicity: 3.242737 },
    { chord: [40, 54, 67], pureness: 0.5373542, complexity: 0.44699, multiplicity: 2.220517 },
    { chord: [1, 4, 7], pureness: 0, complexity: 0, multiplicity: undefined },
  ])('$chord', ({ chord, pureness, complexity, multiplicity }) => {
    const pure = chordAudibilities(chord);
    expect(0.5 * Math.sqrt(pure.reduce((sum, one) => sum + one ** 2, 0))).toBeCloseTo(pureness, 6);
    const complex = Array.from(pure, (_, key) => complexAudibility(pure, key));
    expect(0.2 * Math.max(...complex)).toBeCloseTo(complexity, 6);
    if (multiplicity === undefined) return;
    const either = complex.map((one, key) => Math.max(one, pure[key] ?? 0));
    const whole = either.reduce((sum, one) => sum + one, 0);
    expect(Math.sqrt(whole / Math.max(...either))).toBeCloseTo(multiplicity, 5);
  });
});

describe('a foreground beside a background', () => {
  const tone = (midi: number, db: number, unpitched = false): Tone => ({ midi, power: 10 ** (db / 10), unpitched });
  const share = (front: readonly Tone[], back: readonly Tone[]): number => {
    const { heard, alone } = heardBeside(front, back);
    return heard / alone;
  };

  it('is heard whole where nothing else sounds', () => {
    expect(share([tone(76, 85)], [])).toBe(1);
  });

  it('is heard less the louder the background is', () => {
    const shares = [60, 75, 90, 105].map((db) => share([tone(69, 85)], [tone(70, db)]));
    expect([...shares].sort((a, b) => b - a)).toEqual(shares);
    expect(shares[0]).toBeGreaterThan(0.8);
    expect(shares[3]).toBeLessThan(0.1);
  });

  // A masker takes 12 dB a critical band on either side: far away it covers little (the same paper).
  it('is heard better beside a bass three octaves below than beside a neighbour', () => {
    expect(share([tone(81, 85)], [tone(45, 85)])).toBeGreaterThan(share([tone(81, 85)], [tone(79, 85)]) + 0.2);
  });

  it('is drowned by a roll on the side drum that is 20 dB stronger', () => {
    expect(share([tone(69, 80)], [tone(38, 110, true)])).toBeLessThan(0.3);
  });
});
