/** The full score: who stands where, and what they read. */
import { describe, expect, it } from 'vitest';
import { fullScore, hasTransposingParts } from '../../src/notate/full-score/full-score.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import type { ReducedScore } from '../../src/model/music/written.ts';
import { pitchName } from '../../src/model/music/pitch.ts';
import { windQuintet } from '../kinds/folders/wind-quintet.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { stageOfKind } from '../support/kind-stage.ts';

const FOUR = { numerator: 4, denominator: 4 };
const timeline = timelineOf(2, FOUR);
const SCALE = 'C4:0:4 D4:4:4';

function stageWith(...instruments: readonly string[]) {
  return stageOf(
    instruments.map((instrument) => partOf(instrument, SCALE, timeline)),
    timeline,
  );
}

function firstPitches({ bars }: ReducedScore): string[] {
  return (bars[0]?.staves ?? []).map((staff) => {
    const [head] = staff.voices[0]?.[0]?.heads ?? [];
    return head === undefined ? '' : pitchName(head.pitch);
  });
}

describe('the full score', () => {
  it('has a staff for each part, two for a piano under a brace, and families under brackets', () => {
    const stage = {
      ...stageWith('flute', 'oboe', 'piano', 'violin', 'cello'),
      ensemble: { kind: 'orchestra', sure: true } as const,
    };
    const { staves } = fullScore(stage, notateStage(stage), 'concert');
    expect(staves.map(({ bracket, brace }) => [bracket, brace !== ''])).toEqual([
      ['woodwind', false],
      ['woodwind', false],
      ['', true],
      ['', true],
      ['strings', false],
      ['strings', false],
    ]);
  });

  // Common practice of wind quintets, no source.
  // Common practice, no source: parts of an accordion orchestra are one treble staff; the bass accordion and a solo with both hands are not.
  it('has one treble staff for an accordion of which the right hand alone plays', () => {
    const stavesFor = (music: string): readonly (string | undefined)[] => {
      const timeline = timelineOf(2);
      const stage = stageOf([partOf('accordion', music, timeline)], timeline);
      return fullScore(stage, notateStage(stage), 'concert').staves.map(({ clef }) => clef);
    };
    expect(stavesFor('C5:0:2 E5:2:2 C4:4:4 E4:4:4')).toEqual(['treble']);
    expect(stavesFor('A3:0:4 C4:0:4 G3:4:4')).toEqual(['treble']);
    expect(stavesFor('C5:0:2 E5:2:2 F2:4:4')).toEqual(['treble', 'bass']);
    expect(stavesFor('C5:0:2 E5:2:2 F3:4:4 A5:4:4')).toEqual(['treble', 'bass']);
  });

  // Common practice, no source: equal voices share a treble staff, mixed ones have a pair.
  it('has one staff for a choir in one or two equal voices, two for one in four or with men', () => {
    const stavesFor = (music: string): number => {
      const stage = stageOf([partOf('choir', music, timeline)], timeline);
      return fullScore(stage, notateStage(stage), 'concert').staves.length;
    };
    expect(stavesFor('G4:0:2 A4:2:2 D5:4:2 B4:4:2 C5:6:2 A4:6:2')).toBe(1);
    expect(stavesFor('G4:0:4 D5:0:4 B4:0:4 C4:4:4 E4:4:4 A4:4:4')).toBe(2);
    expect(stavesFor('D5:0:4 G3:0:4 C5:4:4 C3:4:4')).toBe(2);
  });

  it('of a wind quintet has the horn over the bassoon, and all five under one bracket', async () => {
    const stage = await stageOfKind(windQuintet);
    expect(stage.parts.map(({ instrument }) => instrument)).toEqual([
      'flute',
      'oboe',
      'clarinet-bflat',
      'horn-f',
      'bassoon',
    ]);
    const { staves } = fullScore(stage, notateStage(stage), 'written');
    expect(new Set(staves.map(({ bracket }) => bracket)).size).toBe(1);
    expect(staves[0]?.bracket).not.toBe('');
  });

  it('at concert pitch a clarinet is written as it sounds, as players read it a tone higher with two sharps more', () => {
    // A clarinet in B flat sounds a major second below its notes.
    const stage = stageWith('clarinet-bflat', 'violin');
    const written = notateStage(stage);
    expect(hasTransposingParts(stage)).toBe(true);
    const concert = fullScore(stage, written, 'concert');
    const asRead = fullScore(stage, written, 'written');
    expect(firstPitches(concert)).toEqual(['C4', 'C4']);
    expect(firstPitches(asRead)).toEqual(['D4', 'C4']);
    const sounding = asRead.bars[0]!.fifths;
    expect(asRead.bars[0]!.staves[0]!.fifths).toBe(sounding + 2);
    expect(asRead.bars[0]!.staves[1]!.fifths).toBeUndefined();
  });

  it('a name says the key of a transposing instrument once, where the score is as its player reads it', () => {
    const stage = stageOf(
      ['Clarinet', 'Clarinet in B flat 2', 'Clarinet in B-flat'].map((name) =>
        partOf('clarinet-bflat', SCALE, timeline, { name }),
      ),
      timeline,
    );
    const labels = (reading: 'concert' | 'written'): string[] =>
      fullScore(stage, notateStage(stage), reading).staves.map(({ label }) => label);
    expect(labels('written')).toEqual(['Clarinet in B flat', 'Clarinet in B flat 2', 'Clarinet in B flat']);
    expect(labels('concert')).toEqual(['Clarinet', 'Clarinet in B flat 2', 'Clarinet in B-flat']);
  });

  // As printed scores of each country name them (common practice, no source).
  it.each([
    ['Flûte, Hautbois, Clarinette, Cor', 'Clarinette en si bémol', 'Cor en fa'],
    ['Fl., Htb., Cl., Cors', 'Cl. en si bémol', 'Cors en fa'],
    ['Flöte, Oboe, Klarinette, Horn', 'Klarinette in B', 'Horn in F'],
    ['Flauto, Oboe, Clarinetto 1, Corno', 'Clarinetto 1 in si bemolle', 'Corno in fa'],
    ['Flauta, Oboe, Clarinete, Trompa', 'Clarinete en si bemol', 'Trompa en fa'],
    ['Flauto, Oboe, Clarinetto I in Sib, Corno in Fa', 'Clarinetto I in Sib', 'Corno in Fa'],
    ['Flute, Oboe, Clarinet, Horn', 'Clarinet in B flat', 'Horn in F'],
    ['Flûte, Hautbois, Clarinette en si bémol, Cor en fa', 'Clarinette en si bémol', 'Cor en fa'],
  ])('the key of a transposing instrument is named in the language of the parts: %s', (names, clarinet, horn) => {
    const instruments = ['flute', 'oboe', 'clarinet-bflat', 'horn-f'];
    const parts = names
      .split(', ')
      .map((name, index) => partOf(instruments[index] ?? 'flute', SCALE, timeline, { name }));
    const stage = stageOf(parts, timeline);
    const { staves } = fullScore(stage, notateStage(stage), 'written');
    expect(staves.slice(2).map(({ label }) => label)).toEqual([clarinet, horn]);
  });

  // Common practice of guitar music, no source: the bass with its stems down, one value for as long as it is held.
  it('a guitar with bass, figure and tune has the bass for itself and whole, and a figure that needs no ties', () => {
    const bar = (at: number): string =>
      ['A2:0:2.9', 'E4:0:0.95', 'E3:1:1', 'F4:1:0.48', 'E4:1.5:0.47', 'E3:2:1', 'C4:2:1']
        .map((note) => note.replace(/:([\d.]+):/, (_, start: string) => `:${String(Number(start) + at)}:`))
        .join(' ');
    const waltz = timelineOf(4, { numerator: 3, denominator: 4 });
    const stage = stageOf([partOf('guitar', [0, 3, 6, 9].map(bar).join(' '), waltz)], waltz);
    const { bars } = fullScore(stage, notateStage(stage), 'concert');
    for (const { staves } of bars) {
      const [upper = [], lower = []] = staves[0]?.voices ?? [];
      expect(lower.filter(({ kind }) => kind === 'notes').map(({ length }) => length)).toEqual([1440]);
      const tied = upper.flatMap(({ heads }) => heads).filter((head) => head.tieToNext || head.tieFromPrevious);
      expect(tied).toEqual([]);
    }
  });

  it('a double bass keeps its octave in both (common practice of scores in C)', () => {
    const stage = stageWith('double-bass', 'violin');
    expect(hasTransposingParts(stage)).toBe(false);
    expect(firstPitches(fullScore(stage, notateStage(stage), 'concert'))).toEqual(['C5', 'C4']);
  });

  it('winds and violas are never put under 8va; violins and pianos may be (Gould, from memory)', () => {
    const stage = stageWith('flute', 'viola', 'violin', 'piano');
    const { staves } = fullScore(stage, notateStage(stage), 'concert');
    expect(staves.map(({ ottava }) => ottava)).toEqual([false, false, true, true, true]);
  });
});

describe('a drum set', () => {
  // General MIDI percussion: 36 bass drum, 38 snare, 42 closed hi-hat, 44 hi-hat with the pedal.
  it('has hands in the upper voice and feet in the lower one, each to its next stroke or the end of its beat (Weinberg, from memory)', () => {
    const strokes = 'F#2:0:.2 F#2:.5:.2 F#2:1:.2 F#2:1.5:.2 C2:0:.2 D2:1:.2 G#2:1:.2 F#2:2:.2 D2:3:.2 C2:2.5:.2';
    const part = partOf('percussion-unpitched', strokes, timeline);
    const [drums] = notateStage(stageOf([part], timeline)).parts;
    const voices = [1, 2].map((voice) =>
      drums!.notes
        .filter((note) => note.voice === voice)
        .map(({ midi, start, length }) => [midi, start / 480, length / 480]),
    );
    expect(voices[0]).toEqual([
      [42, 0, 0.5],
      [42, 0.5, 0.5],
      [38, 1, 0.5],
      [42, 1, 0.5],
      [42, 1.5, 0.5],
      [42, 2, 1],
      [38, 3, 1],
    ]);
    expect(voices[1]).toEqual([
      [36, 0, 1],
      [44, 1, 1],
      [36, 2.5, 0.5],
    ]);
  });
});

describe('clefs', () => {
  const LOW = 'E3:0:1 D3:1:1 C3:2:1 D3:3:1 E3:4:2 C3:6:2';

  function clefsOf(stage: ReturnType<typeof stageOf>, reading: 'concert' | 'written'): (string | undefined)[] {
    return fullScore(stage, notateStage(stage), reading).bars.map((bar) => bar.staves[0]?.clef);
  }

  it('at concert pitch a low horn of a brass band is read in the bass clef, its player reads the treble clef', () => {
    const stage = stageOf([partOf('alto-horn-eflat', LOW, timeline)], timeline);
    expect(clefsOf(stage, 'concert')).toEqual(['bass', 'bass']);
    expect(clefsOf(stage, 'written')).toEqual(['treble', 'treble']);
  });

  it('a baritone saxophone at concert pitch has one clef throughout, however far it goes', () => {
    const line = 'C4:0:1 D4:1:1 E4:2:1 F4:3:1 F2:4:1 G2:5:1 F2:6:1 E2:7:1';
    const stage = stageOf([partOf('sax-baritone', line, timeline)], timeline);
    const { bars } = fullScore(stage, notateStage(stage), 'concert');
    expect(new Set(bars.map(({ staves }) => staves[0]!.clef)).size).toBe(1);
    expect(bars.flatMap(({ staves }) => staves[0]!.clefChanges ?? [])).toEqual([]);
  });

  it('the trombone of a band stays in the bass clef where that of an orchestra has the tenor clef (common practice, no source)', () => {
    const high = 'F4:0:1 G4:1:1 F4:2:1 E4:3:1 G4:4:1 F4:5:1 G4:6:1 A4:7:1';
    const stage = stageOf([partOf('trombone-tenor', high, timeline)], timeline);
    const written = notateStage(stage);
    const clefIn = (style: 'classical' | 'jazz'): string | undefined =>
      fullScore(stage, { ...written, style: { ...written.style, style } }, 'concert').bars[0]?.staves[0]?.clef;
    expect(clefIn('classical')).toBe('tenor');
    expect(clefIn('jazz')).toBe('bass');
  });

  it('a trombone below middle C reads the bass clef throughout, a few bars above it or not (common practice, no source)', () => {
    const long = timelineOf(8);
    const low =
      'D3:0:2 A3:2:2 D3:4:2 B3:6:2 A3:8:4 G3:12:4 D4:16:1 F4:17:1 G4:18:1 F4:19:1 F4:20:2 D4:22:2 D3:24:4 A3:28:4';
    const stage = stageOf([partOf('trombone-tenor', low, long)], long);
    const written = notateStage(stage);
    const { bars } = fullScore(stage, { ...written, style: { ...written.style, style: 'classical' } }, 'concert');
    expect(new Set(bars.map(({ staves }) => staves[0]!.clef))).toEqual(new Set(['bass']));
  });
});
