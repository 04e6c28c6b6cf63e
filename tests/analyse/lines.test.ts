import { describe, expect, it } from 'vitest';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import type { Part } from '../../src/model/music/arrangement.ts';
import type { ChordSpan } from '../../src/model/music/written.ts';
import { leadSpan, partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { chordOn, writtenOf } from '../support/written.ts';

const timeline = timelineOf(8);

function readingsOf(parts: readonly Part[], chords: readonly ChordSpan[] = []) {
  const stage = stageOf(parts, timeline);
  return analyseStage(stage, writtenOf(stage, chords));
}

const tune = 'C5:0:1 D5:1:1 E5:2:1 F5:3:1 G5:4:1 A5:5:1 G5:6:1 E5:7:1';
const named = (instrument: string, name: string, music: string): Part => partOf(instrument, music, timeline, { name });

describe('doublings', () => {
  it('names a unison with the bars it lasts', () => {
    const { doublings } = readingsOf([partOf('flute', tune, timeline), partOf('violin', tune, timeline)]);
    expect(doublings).toEqual([{ partIds: ['flute', 'violin'], interval: 'unison', semitones: 0, from: 1, to: 2 }]);
  });

  it('says that a bassoon two octaves below doubles at -24 semitones', () => {
    const low = tune.replaceAll('5:', '3:');
    const { doublings } = readingsOf([partOf('flute', tune, timeline), partOf('bassoon', low, timeline)]);
    expect(doublings).toMatchObject([{ interval: 'two-octaves', semitones: -24 }]);
  });

  it('counts major and minor thirds below a tune as thirds', () => {
    const thirds = 'A4:0:1 B4:1:1 C5:2:1 D5:3:1 E5:4:1 F5:5:1 E5:6:1 C5:7:1';
    const { doublings } = readingsOf([named('oboe', 'Oboe 1', tune), named('oboe', 'Oboe 2', thirds)]);
    expect(doublings).toMatchObject([{ interval: 'third', from: 1, to: 2 }]);
    expect(doublings[0]?.semitones).toBeLessThan(0);
  });

  it('goes on through one different note of four, and ends where half differ', () => {
    const three = 'C5:0:1 D5:1:1 E5:2:1 B4:3:1 G5:4:1 A5:5:1 B4:6:1 C5:7:1';
    const { doublings } = readingsOf([named('flute', 'A', tune), named('oboe', 'B', three)]);
    expect(doublings).toMatchObject([{ interval: 'unison', from: 1, to: 1 }]);
  });

  it('says nothing of two notes in common, or of the same pitches at other times', () => {
    expect(readingsOf([named('flute', 'A', 'C5:0:2 E5:2:2'), named('oboe', 'B', 'C5:0:2 E5:2:2')]).doublings).toEqual(
      [],
    );
    const later = 'C5:0.5:1 D5:1.5:1 E5:2.5:1 F5:3.5:1 G5:4.5:1';
    expect(readingsOf([named('flute', 'A', tune), named('oboe', 'B', later)]).doublings).toEqual([]);
  });
});

describe('the melody', () => {
  it('is the top of the foreground and leaves what lies under a sounding note out', () => {
    const { melody } = readingsOf([partOf('piano', 'G5:0:2 C4:0:1 E4:1:1 A5:2:2 C4:3:1', timeline)]);
    expect(melody).toEqual([
      { startQuarters: 0, lengthQuarters: 2, midi: 79, partId: 'piano' },
      { startQuarters: 2, lengthQuarters: 2, midi: 81, partId: 'piano' },
    ]);
  });

  it('passes from one part to the next as the settings say', () => {
    const flute = partOf('flute', 'C5:0:4 D5:4:4', timeline);
    const oboe = partOf('oboe', 'C6:0:4 G4:4:4', timeline);
    const stage = stageOf([flute, oboe], timeline, {
      foreground: [leadSpan('flute', 1, 1), leadSpan('oboe', 2, 8)],
    });
    const { melody } = analyseStage(stage, writtenOf(stage));
    expect(melody.map(({ partId, midi }) => [partId, midi])).toEqual([
      ['flute', 72],
      ['oboe', 67],
    ]);
  });
});

describe('chord coverage', () => {
  const chord = chordOn(1, 1);

  it('lists who sounds root, third and fifth, and what nobody does', () => {
    const parts = [partOf('cello', 'C3:0:4', timeline), partOf('viola', 'G3:0:2 C4:2:2', timeline)];
    const { coverage } = readingsOf(parts, [chord]);
    expect(coverage).toEqual([{ chord: 0, covered: { '0': ['cello', 'viola'], '7': ['viola'] }, missing: [4] }]);
  });

  it('does not take a passing sixteenth for a chord tone', () => {
    const { coverage } = readingsOf([partOf('cello', 'C3:0:3.75 E3:3.75:0.25', timeline)], [chord]);
    expect(coverage[0]?.missing).toEqual([4, 7]);
  });
});
