import { describe, expect, it } from 'vitest';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import type { ChordSpan } from '../../src/model/music/written.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { writtenOf } from '../support/written.ts';

/** Definitions as Kostka and Payne, Tonal Harmony, give them (from memory); the examples are ours. */
const TRIADS: Readonly<Record<string, readonly number[]>> = { C: [0, 4, 7], G: [7, 11, 2], G7: [7, 11, 2, 5] };

function chordsOf(names: readonly string[]): ChordSpan[] {
  return names.map((symbol, index) => ({
    start: index * 4 * 480,
    length: 4 * 480,
    bar: index + 1,
    symbol,
    root: { step: symbol.startsWith('G') ? 'G' : 'C', alter: 0 },
    bass: { step: symbol.startsWith('G') ? 'G' : 'C', alter: 0 },
    quality: 'major',
    roman: '',
    tones: TRIADS[symbol] ?? [],
    coverage: 1,
  }));
}

/** Kinds of the foreign notes of a line over chords of a bar each. */
function kindsOf(music: string, chords: readonly string[], others = 'C3:0:1'): readonly string[] {
  const timeline = timelineOf(4);
  const stage = stageOf([partOf('flute', music, timeline), partOf('cello', others, timeline)], timeline);
  const { nonChordTones = [] } = analyseStage(stage, writtenOf(stage, chordsOf(chords)));
  return nonChordTones.filter(({ partId }) => partId === 'flute').map(({ kind }) => kind);
}

describe('a note that is foreign to its chord', () => {
  it('is a passing note between a third, up or down', () => {
    expect(kindsOf('E5:0:1 F5:1:1 G5:2:1 F5:3:0.5 E5:3.5:0.5', ['C'])).toEqual(['passing', 'passing']);
  });

  it('is a neighbour note where the line comes back', () => {
    expect(kindsOf('E5:0:1 F5:1:1 E5:2:2', ['C'])).toEqual(['neighbour']);
    expect(kindsOf('E5:0:1 D5:1:1 E5:2:2', ['C'])).toEqual(['neighbour']);
  });

  it('is a suspension where it is held over from the chord before and falls a step: 4-3', () => {
    expect(kindsOf('D5:0:2 F5:2:4 E5:6:2', ['G7', 'C'])).toEqual(['suspension']);
  });

  it('is a suspension too where it is struck again', () => {
    expect(kindsOf('F5:2:2 F5:4:2 E5:6:2', ['G7', 'C'])).toEqual(['suspension']);
  });

  it('is a retardation where it is held over and rises: 7-8', () => {
    expect(kindsOf('B4:2:4 C5:6:2', ['G', 'C'])).toEqual(['retardation']);
  });

  it('is an appoggiatura where it comes by leap and leaves by step', () => {
    expect(kindsOf('C5:0:2 A5:2:1 G5:3:1', ['C'])).toEqual(['appoggiatura']);
  });

  it('is an anticipation where the next chord has it', () => {
    expect(kindsOf('D5:0:3.5 C5:3.5:0.5 C5:4:4', ['G', 'C'])).toEqual(['anticipation']);
  });

  it('is an escape note where it comes by step and leaves by leap', () => {
    expect(kindsOf('D5:0:3 E5:3:1 C5:4:4', ['G', 'C'])).toEqual(['escape']);
  });

  it('is a pedal where the bass lies still under other chords', () => {
    const timeline = timelineOf(4);
    const stage = stageOf([partOf('flute', 'G5:0:12', timeline), partOf('cello', 'C2:0:12', timeline)], timeline);
    const { nonChordTones } = analyseStage(stage, writtenOf(stage, chordsOf(['C', 'G', 'C'])));
    expect(nonChordTones?.map(({ partId, kind, bar }) => [partId, kind, bar])).toEqual([['cello', 'pedal', 2]]);
  });

  it('is left unexplained where it comes and goes by leap', () => {
    expect(kindsOf('C5:0:1 F5:1:1 C5:2:2', ['C'])).toEqual(['free']);
  });

  it('is not looked for in a chord that explains too little of the sound', () => {
    const timeline = timelineOf(4);
    const stage = stageOf([partOf('flute', 'E5:0:1 F5:1:1 G5:2:1', timeline)], timeline);
    const chords = chordsOf(['C']).map((chord) => ({ ...chord, coverage: 0.4 }));
    expect(analyseStage(stage, writtenOf(stage, chords)).nonChordTones).toEqual([]);
  });
});
