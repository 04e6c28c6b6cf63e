import { describe, expect, it } from 'vitest';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import { isHoldable, stringsApart } from '../../src/analyse/playability/strings.ts';
import { pedalChangesOf } from '../../src/analyse/playability/harp-pedals.ts';
import { placeParts } from '../../src/analyse/placed-notes/placed-notes.ts';
import type { Part } from '../../src/model/music/arrangement.ts';
import { midiOf, parsePitch } from '../../src/model/music/pitch.ts';
import type { AwkwardPlaces } from '../../src/model/readings/readings.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { writtenOf } from '../support/written.ts';

const timeline = timelineOf(16, { numerator: 4, denominator: 4 }, 60);
const key = (name: string): number => midiOf(parsePitch(name)!);
const keys = (names: string): number[] => names.split(' ').map(key);

function awkwardIn(part: Part): readonly AwkwardPlaces[] {
  const stage = stageOf([part], timeline);
  return analyseStage(stage, writtenOf(stage)).playability?.[0]?.awkward ?? [];
}

/** One pitch over and over, so many a second at 60 to the minute. */
function repeated(pitch: string, perSecond: number, count: number): string {
  return Array.from({ length: count }, (_, index) => `${pitch}:${index / perSecond}:${0.8 / perSecond}`).join(' ');
}

// Open strings of the violin G3 D4 A4 E5 (Gehrkens 1914; Johnstone 1917).
const VIOLIN = keys('G3 D4 A4 E5');

describe('four strings', () => {
  it('a seventh over the open G lies on one string or its neighbour, a high E does not', () => {
    expect(stringsApart(key('G3'), key('F4'), VIOLIN)).toBe(0);
    expect(stringsApart(key('G3'), key('D5'), VIOLIN)).toBe(1);
    expect(stringsApart(key('G3'), key('E6'), VIOLIN)).toBe(3);
  });

  it('sixths, octaves and chords over open strings can be held; two notes of the lowest string cannot (Gehrkens; Rimsky-Korsakov)', () => {
    for (const chord of ['G3 E4', 'A3 A4', 'D4 F4', 'G3 D4 B4', 'G3 D4 A4 E5']) {
      expect(isHoldable(keys(chord), VIOLIN, 5), chord).toBe(true);
    }
    // Both G3 and A3 lie on the G string alone; a second on one string, and a tenth with two stopped fingers.
    for (const chord of ['G3 A3', 'A3 C5', 'F3 A4']) expect(isHoldable(keys(chord), VIOLIN, 5), chord).toBe(false);
  });

  it('are counted for one player; a section divides', () => {
    const music = 'G3:0:2 A3:0:2';
    expect(awkwardIn(partOf('violin', music, timeline))).toMatchObject([{ kind: 'double-stop', count: 1, bar: 1 }]);
    expect(awkwardIn(partOf('violin', music, timeline, { players: 8 }))).toEqual([]);
  });

  it('a quick leap from the lowest to the highest string skips two between, a slow one has time', () => {
    expect(awkwardIn(partOf('violin', 'G3:4:0.25 E6:4.25:0.25', timeline))).toMatchObject([
      { kind: 'string-skip', count: 1, bar: 2, beat: 1, amount: 3, midi: keys('G3 E6') },
    ]);
    expect(awkwardIn(partOf('violin', 'G3:4:1 E6:5:1', timeline))).toEqual([]);
  });
});

describe('repeated notes', () => {
  it('nine and a half a second are more than a tuba is sure of, eight are not (contemporarytuba.com: 9 to 10)', () => {
    const [found] = awkwardIn(partOf('tuba', repeated('C2', 9.5, 8), timeline));
    expect(found).toMatchObject({ kind: 'repeated-notes', count: 1, usual: 9 });
    expect(found?.amount).toBeCloseTo(9.5, 5);
    expect(awkwardIn(partOf('tuba', repeated('C2', 8, 8), timeline))).toEqual([]);
  });

  it('an unmeasured tremolo of bowed strings is free, a harp string wants a quarter of a second (from memory)', () => {
    expect(awkwardIn(partOf('violin', repeated('A4', 14, 20), timeline, { players: 8 }))).toEqual([]);
    expect(awkwardIn(partOf('violin', repeated('A4', 11, 20), timeline))).toMatchObject([{ kind: 'repeated-notes' }]);
    expect(awkwardIn(partOf('harp', repeated('A4', 5, 8), timeline))).toMatchObject([{ kind: 'repeated-notes' }]);
    expect(awkwardIn(partOf('harp', repeated('A4', 3, 8), timeline))).toEqual([]);
  });
});

describe('harp pedals', () => {
  it('C sharp with C natural is impossible, D flat with C is not (Gehrkens; Rimsky-Korsakov: one pedal a letter)', () => {
    const stage = stageOf([partOf('harp', 'C4:0:2 C#5:0:2', timeline)], timeline);
    const [placed] = placeParts(stage, writtenOf(stage));
    expect(pedalChangesOf(placed?.notes ?? [])).toMatchObject([{ step: 'C', seconds: 0 }]);
    const flat = (placed?.notes ?? []).map((note) =>
      note.midi === key('C#5')
        ? { ...note, written: { ...note.written, pitch: { step: 'D' as const, alter: -1, octave: 5 } } }
        : note,
    );
    expect(pedalChangesOf(flat)).toEqual([]);
  });

  it('with the A pedal sharp, B flat is there as A sharp', () => {
    const stage = stageOf([partOf('harp', 'Bb3:0:1 B3:4:0.5 Bb3:4.5:0.5', timeline)], timeline);
    const [placed] = placeParts(stage, writtenOf(stage));
    const sharp = (placed?.notes ?? []).map((note, index) =>
      index === 0
        ? { ...note, written: { ...note.written, pitch: { step: 'A' as const, alter: 1, octave: 3 } } }
        : note,
    );
    expect(pedalChangesOf(sharp)).toMatchObject([{ step: 'B', instead: { step: 'A', alter: 1, octave: 3 } }]);
  });

  it('two pedals of one foot want time one after the other, two of both feet go together', () => {
    // C and D are the left foot's, E and F the right foot's.
    const changes = (music: string): number[] => {
      const stage = stageOf([partOf('harp', music, timeline)], timeline);
      const [placed] = placeParts(stage, writtenOf(stage));
      return pedalChangesOf(placed?.notes ?? []).map(({ seconds }) => seconds);
    };
    expect(changes('C4:0:1 B3:0:1 C#4:4:1 Bb3:4:1')).toEqual([4, 3]);
    expect(changes('C4:0:1 B3:0:1 C#4:1:1 Bb3:1:1')).toEqual([1, 0]);
    expect(changes('C4:0:1 F4:0:1 C#4:4:1 F#4:4:1')).toEqual([4, 4]);
  });
});

describe('hands of a keyboard', () => {
  it('a tenth is for large hands, a ninth for most, and two hands share (Boyle, Boyle and Booker)', () => {
    // The left hand has the C two octaves lower.
    const chord = (top: string): Part => partOf('piano', `C2:0:2 C4:0:2 ${top}:0:2`, timeline);
    expect(awkwardIn(chord('E5'))).toMatchObject([{ kind: 'hand-span', amount: 16, usual: 14, midi: keys('C4 E5') }]);
    expect(awkwardIn(chord('D5'))).toEqual([]);
    expect(awkwardIn(partOf('piano', 'C4:0:2 E6:0:2', timeline))).toEqual([]);
    expect(awkwardIn(partOf('piano', 'G2:0:2 D3:0:2 B3:0:2 G4:0:2', timeline))).toEqual([]);
  });
});

describe('lips', () => {
  const trumpet = (rest: number): Part =>
    partOf(
      'trumpet-c',
      `${Array.from({ length: 12 }, (_, index) => `E5:${index * 2}:2:110`).join(' ')} C5:${24 + rest}:4:40`,
      timeline,
    );

  it('loud playing wants rest of like length after it (Adler; Blatter, from memory)', () => {
    expect(awkwardIn(trumpet(5))).toMatchObject([{ kind: 'brass-endurance', count: 1, amount: 24 }]);
    expect(awkwardIn(trumpet(25))).toEqual([]);
  });
});
