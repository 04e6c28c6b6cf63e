import { describe, expect, it } from 'vitest';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import { drumsWith, setFor, TIMPANI_PAIR, TIMPANI_SET } from '../../src/analyse/playability/timpani-drums.ts';
import { midiOf, parsePitch } from '../../src/model/music/pitch.ts';
import type { TimpaniReading } from '../../src/model/readings/readings.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { writtenOf } from '../support/written.ts';

/** 60 quarters a minute. */
const timeline = timelineOf(16, { numerator: 4, denominator: 4 }, 60);
const key = (name: string): number => midiOf(parsePitch(name)!);

function readingOf(music: string, instrument = 'timpani'): TimpaniReading | undefined {
  const stage = stageOf([partOf(instrument, music, timeline)], timeline);
  return analyseStage(stage, writtenOf(stage)).playability?.[0]?.timpani;
}

describe('the pair F2-C3 and B flat 2-F3 (N. Rimsky-Korsakov, Principles of Orchestration, ch. I)', () => {
  const inches = (name: string): number[] => drumsWith(key(name), TIMPANI_PAIR).map((drum) => drum.inches);

  it('D3 lies on the small drum alone, G2 on the large, B flat 2 to C3 on both', () => {
    expect(inches('D3')).toEqual([26]);
    expect(inches('G2')).toEqual([29]);
    expect(inches('Bb2')).toEqual([29, 26]);
    expect(inches('C3')).toEqual([29, 26]);
    expect(inches('E2')).toEqual([]);
  });

  it('has every note from F2 to F3 (J. J. Papastefan, Timpani Sizes and Ranges)', () => {
    for (let midi = key('F2'); midi <= key('F3'); midi++) expect(drumsWith(midi, TIMPANI_PAIR)).not.toEqual([]);
  });

  it('the fifth drum, up to C4, is there for who needs it (Papastefan)', () => {
    expect(setFor([key('A2'), key('A3')])).toEqual(TIMPANI_SET);
    expect(setFor([key('F2'), key('C4')]).map((drum) => drum.inches)).toEqual([32, 29, 26, 23, 20]);
    expect(setFor([key('C2')])).toEqual(TIMPANI_SET);
  });
});

describe('what a timpani part asks', () => {
  it('tonic and dominant of G: two drums, nothing to retune', () => {
    expect(readingOf('G2:0:1 D3:1:1 G2:2:1')).toEqual({
      drums: [
        { inches: 29, midi: [key('G2')] },
        { inches: 26, midi: [key('D3')] },
      ],
      pitches: 2,
      mostBetweenRests: 2,
      retunings: 0,
    });
  });

  it('four pitches over the largest drum, B flat 2, C3, E flat 3 and F3: four other drums, nothing to retune', () => {
    expect(readingOf('Bb2:0:1 F3:1:1 Eb3:2:1 C3:3:1 Bb2:4:1 Eb3:5:1')).toMatchObject({
      drums: [
        { inches: 29, midi: [key('Bb2')] },
        { inches: 26, midi: [key('C3')] },
        { inches: 23, midi: [key('Eb3')] },
        { inches: 20, midi: [key('F3')] },
      ],
      retunings: 0,
    });
  });

  it('a third pitch of the largest drums after a rest is one retuning, two pitches at most from rest to rest', () => {
    const reading = readingOf('F2:0:1 Gb2:1:1 G2:8:1 F2:9:1');
    expect(reading).toMatchObject({ pitches: 3, mostBetweenRests: 2, retunings: 1 });
    expect(reading?.drums.map(({ inches }) => inches)).toEqual([32, 29]);
  });

  it('a note beyond every drum is the business of the range', () => {
    expect(readingOf('C2:0:1 F2:1:1')).toMatchObject({ drums: [{ inches: 29 }], pitches: 2, retunings: 0 });
  });

  it('other instruments have none', () => {
    expect(readingOf('G2:0:1', 'tuba')).toBeUndefined();
  });
});
