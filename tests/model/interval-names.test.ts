import { expect, it } from 'vitest';
import { anInterval, intervalName } from '../../src/model/music/interval-names.ts';

it('intervals have the names of the trade, compound ones too', () => {
  expect([0, 1, 7, 12, 14, 16, 19, 24, 31].map(intervalName)).toEqual([
    'unison',
    'minor second',
    'fifth',
    'octave',
    'major ninth',
    'major tenth',
    'twelfth',
    'two octaves',
    '31 semitones',
  ]);
});

it('with the article that they are said with', () => {
  expect([2, 12, -17, 21, 24, -31].map(anInterval)).toEqual([
    'a major second',
    'an octave',
    'an eleventh',
    'an octave and a major sixth',
    'two octaves',
    '31 semitones',
  ]);
});
