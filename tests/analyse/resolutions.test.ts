/** Where leading notes and sevenths go: the rules of the textbooks of harmony (Kostka and Payne; Aldwell and Schachter; from memory). */
import { describe, expect, it } from 'vitest';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import type { Part } from '../../src/model/music/arrangement.ts';
import type { Resolution } from '../../src/model/readings/readings.ts';
import type { ChordSpan } from '../../src/model/music/written.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { readMxl } from '../support/musicxml-score.ts';
import { hasWholeData, openFile, openFiles } from '../support/open-data.ts';
import { stageOfScore } from '../support/score-stage.ts';
import { writtenOf } from '../support/written.ts';
import { notated } from '../support/notated.ts';

const timeline = timelineOf(2);

type Named = Pick<ChordSpan, 'symbol' | 'quality' | 'roman' | 'tones' | 'root'>;
const C: Named = { symbol: 'C', quality: 'major', roman: 'I', tones: [0, 4, 7], root: { step: 'C', alter: 0 } };
const F: Named = { symbol: 'F', quality: 'major', roman: 'IV', tones: [5, 9, 0], root: { step: 'F', alter: 0 } };
const G7: Named = {
  symbol: 'G7',
  quality: 'dominant-seventh',
  roman: 'V7',
  tones: [7, 11, 2, 5],
  root: { step: 'G', alter: 0 },
};

/** Parts `name: music` over two chords of a bar each. */
function read(chords: readonly [Named, Named], music: Readonly<Record<string, string>>): readonly Resolution[] {
  const parts = Object.entries(music).map(([name, notes]): Part => partOf('violin', notes, timeline, { name }));
  const stage = stageOf(parts, timeline);
  const spans = chords.map((chord, bar): ChordSpan => ({
    ...chord,
    start: bar * 1920,
    length: 1920,
    bar: bar + 1,
    bass: chord.root,
    coverage: 1,
  }));
  return analyseStage(stage, writtenOf(stage, spans)).resolutions ?? [];
}

function outcomes(readings: readonly Resolution[]): string[] {
  return readings.map(({ partId, kind, outcome }) => `${partId}: ${kind} ${outcome}`).sort();
}

describe('from G7 to C', () => {
  it('B rises to C and F falls to E', () => {
    expect(outcomes(read([G7, C], { a: 'B4:0:4 C5:4:4', b: 'F4:0:4 E4:4:4', c: 'G3:0:4 C3:4:4' }))).toEqual([
      'a: leading-note resolved',
      'b: seventh resolved',
    ]);
  });

  it('a leap by an octave besides changes the register and not the way', () => {
    expect(outcomes(read([G7, C], { a: 'B4:0:4 C4:4:4', b: 'F4:0:4 E5:4:4' }))).toEqual([
      'a: leading-note resolved',
      'b: seventh resolved',
    ]);
  });

  it('F that leaps to C is left where nobody plays E, and taken over where a neighbour does', () => {
    expect(outcomes(read([G7, C], { b: 'F4:0:4 C5:4:4', c: 'G3:0:4 C3:4:4' }))).toEqual(['b: seventh left']);
    const taken = read([G7, C], { b: 'F4:0:4 C5:4:4', c: 'G3:0:4 C3:4:4', d: 'D5:0:4 E4:4:4' });
    expect(outcomes(taken)).toEqual(['b: seventh taken-over']);
  });

  it('F that lies is held, not left', () => {
    expect(outcomes(read([G7, C], { b: 'F4:0:6 E4:6:2', c: 'G3:0:4 C3:4:4' }))).toEqual(['b: seventh held']);
    expect(outcomes(read([G7, F], { b: 'F4:0:4 F4:4:4', c: 'G3:0:4 F3:4:4' }))).toEqual(['b: seventh held']);
  });

  it('a broken chord brings the resolution when its turn comes', () => {
    const broken = 'G3:0:1 D4:1:1 B3:2:1 F4:3:1 C4:4:1 G4:5:1 E4:6:1 C5:7:1';
    expect(outcomes(read([G7, C], { b: broken, c: 'G2:0:4 C3:4:4' }))).toEqual(['b: seventh resolved']);
  });

  it('one of two leading notes may leap where the other rises', () => {
    expect(outcomes(read([G7, C], { a: 'B4:0:4 C5:4:4', b: 'B3:0:4 G3:4:4' }))).toEqual([
      'a: leading-note resolved',
      'b: leading-note taken-over',
    ]);
  });

  it('a seventh given up two beats before the chord goes went on inside the chord', () => {
    expect(read([G7, C], { b: 'F4:0:2 D4:2:2 C4:4:4', c: 'G3:0:4 C3:4:4' })).toEqual([]);
  });

  it('the highest and the lowest note of the moment are outer voices', () => {
    const [leading, seventh] = read([G7, C], { a: 'B4:0:4 C5:4:4', b: 'F4:0:4 E4:4:4', c: 'G3:0:4 C3:4:4' });
    expect(leading).toMatchObject({ isOuter: true, bar: 1, midi: 71, to: 72 });
    expect(seventh).toMatchObject({ isOuter: false, midi: 65, to: 64 });
  });
});

it('the third of a tonic that goes to its fourth degree is no leading note', () => {
  expect(read([C, F], { a: 'E5:0:4 A4:4:4', c: 'C3:0:4 F3:4:4' })).toEqual([]);
});

it('the augmented sixth sounds like a seventh and rises', () => {
  const german: Named = {
    symbol: 'Ab7',
    quality: 'dominant-seventh',
    roman: 'Ger65',
    tones: [8, 0, 3, 6],
    root: { step: 'A', alter: -1 },
  };
  expect(read([german, G7], { a: 'F#5:0:4 G5:4:4', c: 'Ab3:0:4 G3:4:4' })).toEqual([]);
});

const SCORES = ['openscore-quartets', 'openscore-orchestra'].flatMap((set) =>
  openFiles(set).map((name) => openFile(set, name)),
);

describe('in scores by masters (OpenScore, CC0)', () => {
  it('nineteen of twenty leading notes and sevenths do what the books say', () => {
    const all = SCORES.flatMap((file) => {
      const { stage, written } = stageOfScore(readMxl(file), { foreground: 'Violin 1' });
      const { keys, chords } = notated(stage);
      return analyseStage(stage, { ...written, keys, chords }).resolutions ?? [];
    });
    const left = all.filter(({ outcome }) => outcome === 'left');
    expect(all.length).toBeGreaterThan(hasWholeData ? 1000 : 100);
    expect(left.length / all.length).toBeLessThan(0.05);
  });
});
