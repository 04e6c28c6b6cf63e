/** Where the books disagree, both are told; and where in the spectrum a soloist is covered. */
import { describe, expect, it } from 'vitest';
import { coveredPower, middleOf, newBands } from '../../src/analyse/level/masking/covered-share.ts';
import { erbHzAt, erbNumber } from '../../src/sound/erb.ts';
import { whereSourcesDisagree } from '../../src/analyse/level/power/where-sources-disagree.ts';
import { partOf, timelineOf } from '../support/arrangement.ts';

const timeline = timelineOf(1);
const one = (instrument: string) => partOf(instrument, 'A4:0:4', timeline);

describe('classical equivalences beside measured powers', () => {
  it('trumpet and horn: twice for Rimsky-Korsakov (ch. I), 101 against 102 dB for Meyer (from memory)', () => {
    const [text = ''] = whereSourcesDisagree([one('trumpet-c'), one('horn-f')]);
    expect(text).toContain('one trumpet is worth two horns');
    expect(text).toContain('101 and 102 dB');
  });

  it('horn and oboe: 9 dB are 1.9 times as loud, which is the book’s twice', () => {
    expect(whereSourcesDisagree([one('oboe'), one('horn-f')]).join(' ')).toContain(
      '9 dB more, which is 1.9 times as loud',
    );
  });

  it('twelve violins have 6 dB more than two flutes by measurement: 99.8 against 94.0', () => {
    expect(whereSourcesDisagree([one('violin'), one('flute')]).join(' ')).toContain(
      'twelve violins 100 and two flutes 94 dB',
    );
  });

  it('nothing is told of who does not play', () => {
    expect(whereSourcesDisagree([one('violin'), one('viola')])).toEqual([]);
    expect(whereSourcesDisagree([one('trumpet-c'), partOf('horn-f', '', timeline)])).toEqual([]);
  });
});

describe('where a tone is covered', () => {
  it('1000 Hz has the ERB number 15.62 (Glasberg and Moore 1990), and back', () => {
    expect(erbNumber(1000)).toBeCloseTo(15.62, 2);
    expect(erbHzAt(15.62)).toBeCloseTo(1000, 0);
  });

  it('A4 under a stronger A4 is covered from its fundamental, 440 Hz, upward; under a D2 hardly there', () => {
    const tone = (midi: number, power: number) => ({ midi, power, unpitched: false });
    const bands = newBands();
    const whole = coveredPower([tone(69, 1)], [tone(69, 4)], bands);
    expect(whole.coveredPower).toBeCloseTo(whole.foregroundPower, 9);
    const middle = middleOf(bands);
    // Within a quarter of a bandwidth.
    expect(Math.abs((middle?.lowHz ?? 0) - 440)).toBeLessThan(20);
    expect(middle?.highHz).toBeGreaterThan(800);
    const none = newBands();
    coveredPower([tone(69, 1)], [tone(38, 0.0001)], none);
    expect(middleOf(none)).toBeUndefined();
  });
});
