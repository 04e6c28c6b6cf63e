import { describe, expect, it } from 'vitest';
import { barsText, minutesText } from '../../src/model/words/plain-words.ts';
import { classLabel, toneOf } from '../../src/model/music/chord-tones.ts';
import {
  metersText,
  signedDbText,
  tempoText,
  transpositionText,
  withAccidentalSigns,
} from '../../src/publish/numbers-and-names.ts';
import { partOf, timelineOf } from '../support/arrangement.ts';

describe('numbers as people write them', () => {
  it('gives minutes and seconds, never 2:60', () => {
    expect(minutesText(179.6)).toBe('3:00');
    expect(minutesText(7)).toBe('0:07');
  });

  it('joins bars that follow one another into spans', () => {
    expect(barsText([4, 1, 2, 3, 7, 9, 10])).toBe('bars 1–4, 7 and 9–10');
    expect(barsText([5])).toBe('bar 5');
    expect(barsText([])).toBe('no bar');
  });

  it('writes a real minus sign and no negative zero', () => {
    expect(signedDbText(-3.04)).toBe('−3.0\u00a0dB');
    expect(signedDbText(-0.04)).toBe('0.0\u00a0dB');
    expect(signedDbText(2)).toBe('+2.0\u00a0dB');
  });

  it('counts the felt beat: 6/8 at 90 quarters a minute is 60 dotted quarters', () => {
    // Common practice, no source: in compound meters the beat is the dotted value.
    expect(tempoText(timelineOf(2, { numerator: 6, denominator: 8 }, 90).bars)).toBe('dotted quarter = 60');
    expect(tempoText(timelineOf(2, { numerator: 3, denominator: 4 }, 72).bars)).toBe('quarter = 72');
  });

  it('a tempo that gives way in 6/8 does not hide the quarters of a passage in 3/4', () => {
    const bars = timelineOf(20, { numerator: 6, denominator: 8 }, 99).bars.map((bar, index) =>
      index >= 8 && index < 12
        ? { ...bar, meter: { numerator: 3, denominator: 4 }, tempo: 88 }
        : { ...bar, tempo: index % 4 === 3 ? 90 : 99 },
    );
    expect(tempoText(bars)).toBe('flexible, mostly about dotted quarter = 66 (60–66); quarter = 88 in bars 9–12');
  });

  it('names each change of meter with its bar', () => {
    const [first, second] = timelineOf(2).bars;
    expect(metersText([first!, { ...second!, meter: { numerator: 3, denominator: 4 } }])).toBe(
      '4/4 and 3/4 from bar 2',
    );
  });

  it('sets accidentals as signs in keys and chords only where they are accidentals', () => {
    expect(['Bb', 'F#m7b5', 'Ebmaj7/Bb', 'Bdim', 'Abb'].map(withAccidentalSigns)).toEqual([
      'B♭',
      'F♯m7♭5',
      'E♭maj7/B♭',
      'Bdim',
      'A♭♭',
    ]);
  });
});

describe('how a part sounds against its page', () => {
  // Handbook facts: a horn in F sounds a fifth below, a double bass an octave below, a B flat clarinet a major second below.
  it.each([
    ['horn-f', 'a fifth below what is written'],
    ['double-bass', 'an octave below what is written'],
    ['clarinet-bflat', 'a major second below what is written'],
    ['violin', 'as written'],
  ])('%s: %s', (instrument, text) => {
    expect(transpositionText(partOf(instrument, '', timelineOf(1)))).toBe(text);
  });
});

describe('tones of a chord', () => {
  const toneName = (...asked: Parameters<typeof toneOf>): string => classLabel(toneOf(...asked));

  it('are spelled from the root: the diminished fifth of B is F, its diminished seventh A flat', () => {
    const root = { step: 'B', alter: 0 } as const;
    expect([11, 2, 5, 8].map((tone) => toneName({ root, quality: 'diminished-seventh' }, tone))).toEqual([
      'B',
      'D',
      'F',
      'A♭',
    ]);
  });

  it('are spelled from the root: the augmented fifth of C is G sharp, the minor third of C is E flat', () => {
    const root = { step: 'C', alter: 0 } as const;
    expect(toneName({ root, quality: 'augmented' }, 8)).toBe('G♯');
    expect(toneName({ root, quality: 'minor' }, 3)).toBe('E♭');
  });
});
