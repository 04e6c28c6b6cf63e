import { describe, expect, it } from 'vitest';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import type { Part } from '../../src/model/music/arrangement.ts';
import type { ChordSpan } from '../../src/model/music/written.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { chordOn, writtenOf } from '../support/written.ts';

const timeline = timelineOf(8);

function readingsOf(parts: Part[], chords: readonly ChordSpan[] = []) {
  const stage = stageOf(parts, timeline);
  return analyseStage(stage, writtenOf(stage, chords));
}

describe('the ground of a chord', () => {
  const solo = partOf('flute', 'E5:0:16', timeline, { role: 'foreground' });
  const cello = partOf('cello', 'C3:0:8 G3:8:8', timeline);
  const bass = partOf('double-bass', 'C2:8:8', timeline);
  const { grounds = [] } = readingsOf(
    [solo, cello, bass],
    [1, 2, 3, 4].map((bar) => chordOn(bar, bar)),
  );

  it('belongs to the cellos until the basses take it over, and is handed over once', () => {
    expect(grounds.map(({ bassPartIds }) => bassPartIds)).toEqual([
      ['cello'],
      ['cello'],
      ['double-bass'],
      ['double-bass'],
    ]);
    expect(grounds.map(({ handover }) => handover)).toEqual([false, false, true, false]);
  });

  it('lacks the third that only the soloist has, and the fifth where nobody has it', () => {
    expect(grounds.map(({ missingWithoutForeground }) => missingWithoutForeground)).toEqual([[4, 7], [4, 7], [4], [4]]);
  });

  it('stays with the short first beats of a plucked bass, under a cello and a piano that go on over it', () => {
    const plucked = partOf('double-bass', 'C2:0:1 C2:4:1 G2:6:1', timeline);
    const afterBeats = partOf('piano', 'E4:1:1 G4:1:1 E4:2:1 G4:2:1 E4:5:1 G4:5:1', timeline);
    const { grounds: waltz } = readingsOf(
      [solo, partOf('cello', 'G2:0:4 A2:4:4', timeline), plucked, afterBeats],
      [chordOn(1, 1), chordOn(2, 2)],
    );
    expect(waltz?.map(({ bassPartIds }) => bassPartIds)).toEqual([['double-bass'], ['double-bass']]);
  });

  it('goes to the cello where the harmony changes after the plucked note, and where the note comes between the beats', () => {
    const cello = partOf('cello', 'G2:0:8', timeline);
    const [first, second] = [chordOn(1, 1), chordOn(2, 2)];
    const plucked = readingsOf([solo, cello, partOf('double-bass', 'C2:0:1', timeline)], [first, second]).grounds;
    expect(plucked?.map(({ bassPartIds }) => bassPartIds)).toEqual([['double-bass'], ['cello']]);
    const between = readingsOf([solo, cello, partOf('double-bass', 'C2:0.5:1', timeline)], [first]).grounds;
    expect(between?.[0]?.bassPartIds).toEqual(['cello']);
  });

  it('is shared by a unison', () => {
    const { grounds: shared } = readingsOf([solo, cello, partOf('bassoon', 'C3:0:8', timeline)], [chordOn(1, 1)]);
    expect(shared?.[0]?.bassPartIds).toEqual(['cello', 'bassoon']);
  });
});

describe('how a part lies', () => {
  const of = (instrument: string, music: string) => readingsOf([partOf(instrument, music, timeline)]).playability?.[0];

  it('the longest breath of a flute is told with what a breath lasts (12 s at mf, catalogue)', () => {
    const reading = of('flute', 'C5:0:4:74 D5:6:14:74');
    expect(reading?.breath).toMatchObject({ from: 2, to: 5, seconds: 14 });
    expect(reading?.breath?.breathSeconds).toBeCloseTo(12, 1);
  });

  it('what has no written rest is told beside it where long notes may give up their ends: four bars of halves at 60', () => {
    const halves = Array.from({ length: 8 }, (_, at) => `${at % 2 === 0 ? 'C5' : 'D5'}:${String(at * 2)}:2`).join(' ');
    const reading = of('flute', halves);
    expect(reading?.breath?.seconds).toBeLessThan(3);
    expect(reading?.breath?.unbroken).toMatchObject({ from: 1, to: 4 });
    expect(of('flute', 'C5:0:2 D5:4:2')?.breath?.unbroken).toBeUndefined();
  });

  it('the widest leap has its size, its way and its place', () => {
    expect(of('oboe', 'C5:0:1 G5:1:1 C5:2:1 E5:4:1')?.widestLeap).toEqual({ bar: 1, beat: 1, semitones: 7 });
    expect(of('oboe', 'G5:0:1 C5:1:1')?.widestLeap?.semitones).toBe(-7);
  });

  it('time is shared out by range: a violin over its usual C7 for a quarter of the time', () => {
    expect(of('violin', 'A4:0:3 D7:3:1')?.time).toEqual({ practical: 0.75, edge: 0.25, outside: 0 });
    expect(of('violin', 'A4:0:3 F3:3:1')?.time).toEqual({ practical: 0.75, edge: 0, outside: 0.25 });
  });

  it('strings need no breath and the middle of the sounding time is weighted by length', () => {
    const reading = of('violin', 'A4:0:3 A5:3:1');
    expect(reading?.breath).toBeUndefined();
    expect(reading?.medianMidi).toBe(69);
  });

  it('a part without notes has no reading', () => {
    expect(readingsOf([partOf('violin', '', timeline)]).playability).toEqual([]);
  });
});
