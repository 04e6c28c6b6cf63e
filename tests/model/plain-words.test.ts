import { describe, expect, it } from 'vitest';
import {
  agreeing,
  barSpanText,
  barsText,
  closed,
  counted,
  listText,
  numberedTitle,
  percentAtLeast,
  percentText,
  sentenceStart,
} from '../../src/model/words/plain-words.ts';

describe('words of sentences', () => {
  it('counts one in the singular, everything else in the plural, none too', () => {
    expect([0, 1, 2].map((count) => counted(count, 'beat'))).toEqual(['0 beats', '1 beat', '2 beats']);
    expect([1, 2].map((count) => counted(count, 'entry', 'entries'))).toEqual(['1 entry', '2 entries']);
  });

  it('lets the verb agree with the number', () => {
    expect([0, 1, 2].map((count) => agreeing(count, 'plays', 'play'))).toEqual(['play', 'plays', 'play']);
  });

  it('joins a list, and counts what is more than wanted', () => {
    expect(listText([])).toBe('');
    expect(listText(['Flute'])).toBe('Flute');
    expect(listText(['Flute', 'Horn'])).toBe('Flute and Horn');
    expect(listText(['Flute', 'Horn', 'Harp'])).toBe('Flute, Horn and Harp');
    expect(listText(['Flute', 'Horn', 'Harp', 'Viola'], 3)).toBe('Flute, Horn and 2 more');
    expect(listText(['Flute', 'Horn', 'Harp'], 3)).toBe('Flute, Horn and Harp');
  });

  it('ends a sentence once, after the dot of an abbreviation too', () => {
    expect([closed('Flute'), closed('Fl.'), closed('Who leads?')]).toEqual(['Flute.', 'Fl.', 'Who leads?']);
  });

  it('keeps a number of its own apart from the number of a stage: cue 1m1 is no eleventh', () => {
    expect([numberedTitle(4, 'Complete'), numberedTitle(1, '1m1')]).toEqual(['4 Complete', '1: 1m1']);
  });

  it('breaks no line between a number and its sign, and calls little not nothing', () => {
    expect([percentText(0.434), percentText(undefined)]).toEqual(['43\u00a0%', '–']);
    expect([percentAtLeast(0.003), percentAtLeast(0), percentAtLeast(1)]).toEqual([
      'under 1\u00a0%',
      '0\u00a0%',
      '100\u00a0%',
    ]);
  });

  it('writes spans of bars with an en dash, the pickup as bar 0', () => {
    expect(barSpanText(0, 0)).toBe('bar 0');
    expect(barSpanText(9, 12)).toBe('bars 9–12');
    expect(barsText([0, 1, 2, 5])).toBe('bars 0–2 and 5');
    expect(barsText([1, 3, 5, 7, 9], 3)).toBe('bars 1, 3 and 3 more');
    expect(barsText([])).toBe('no bar');
  });

  it('begins a sentence with a capital, whatever it begins with', () => {
    expect(sentenceStart('élan')).toBe('Élan');
    expect(sentenceStart('')).toBe('');
  });
});
