import { describe, expect, it } from 'vitest';
import type { TrackRecord } from '../../src/model/music/arrangement.ts';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import type { Part } from '../../src/model/music/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { writtenOf } from '../support/written.ts';

const timeline = timelineOf(8);

function readingsOf(...parts: Part[]) {
  const stage = stageOf(parts, timeline);
  return analyseStage(stage, writtenOf(stage));
}

describe('the register of a bar', () => {
  it('is the lowest, the highest and the mean pitch weighted by duration', () => {
    // C4 for three quarters and E4 for one: (3 * 60 + 64) / 4 = 61.
    const { register } = readingsOf(partOf('flute', 'C4:0:3 E4:3:1', timeline));
    expect(register).toEqual([{ partId: 'flute', bar: 1, low: 60, high: 64, centre: 61 }]);
  });

  it('holds a note in every bar it reaches into, and not in the bar that begins where it ends', () => {
    const { register } = readingsOf(partOf('flute', 'C5:2:6', timeline));
    expect(register.map(({ bar, centre }) => [bar, centre])).toEqual([
      [1, 72],
      [2, 72],
    ]);
  });

  it('leaves percussion without pitch out', () => {
    const readings = readingsOf(
      partOf('flute', 'C5:0:1', timeline),
      partOf('percussion-unpitched', 'C2:0:1', timeline),
    );
    expect(readings.register.map(({ partId }) => partId)).toEqual(['flute']);
    expect(readings.ranges.map(({ partId }) => partId)).toEqual(['flute']);
  });
});

describe('the range of a part', () => {
  it('is given sounding and written: a horn in F sounds a fifth below what is written', () => {
    const { ranges } = readingsOf(partOf('horn-f', 'F3:0:1 C4:1:1', timeline));
    expect(ranges[0]).toMatchObject({ low: 53, high: 60, writtenLow: 60, writtenHigh: 67, outside: [], edge: [] });
  });

  it('a double bass is written an octave above what sounds', () => {
    const { ranges } = readingsOf(partOf('double-bass', 'E1:0:1', timeline));
    expect(ranges[0]).toMatchObject({ low: 28, writtenLow: 40 });
  });

  it('names bar and beat of a violin note below the open G string, and of no other', () => {
    const { ranges } = readingsOf(partOf('violin', 'G3:0:1 F#3:9:1 A4:10:1', timeline));
    expect(ranges[0]?.outside).toEqual([{ bar: 3, beat: 2, midi: 54 }]);
    expect(ranges[0]?.edge).toEqual([]);
  });

  it('reaches the last fret of an electric guitar, by its program or its name, and not of another', () => {
    // 19 frets end at B5, 22 at D6, 24 at E6 (open string E4, an octave for every twelve frets).
    const outside = (track: Partial<TrackRecord>): number | undefined => {
      const part = partOf('guitar', 'B5:0:1 D6:1:1 E6:2:1 F6:3:1', timeline);
      const tracks = part.tracks.map((own) => ({ ...own, ...track }));
      return readingsOf({ ...part, tracks }).ranges[0]?.outside.length;
    };
    expect([{ program: 26 }, { program: 29 }, { name: 'E-Git.' }, { name: 'El. Gtr' }].map(outside)).toEqual([
      1, 1, 1, 1,
    ]);
    expect([{ program: 24 }, { name: 'Classical gtr' }, { name: 'Eighth guitar' }].map(outside)).toEqual([3, 3, 3]);
  });

  it('has no end where stops or the buttons of a left hand make a key sound in any octave', () => {
    // An accordion's left hand has basses and chords down to the octave of a double bass (common practice, no source).
    const { ranges, playability } = readingsOf(partOf('accordion', 'G2:0:4 Bb2:0:4 D3:0:4', timeline));
    expect(ranges[0]?.outside).toEqual([]);
    expect(playability?.[0]?.time?.outside).toBe(0);
    const { ranges: set } = readingsOf(partOf('accordion', 'G2:0:4', timeline, { range: { low: 53, high: 93 } }));
    expect(set[0]?.outside.map(({ midi }) => midi)).toEqual([43]);
  });

  it('follows the crook: a horn in B flat alto has its sixteenth harmonic at B flat 5, above the horn in F', () => {
    // Harmonics of a crook: written C6 sounds a tone lower in B flat alto (acoustics; any book on natural horns).
    const inBflatAlto = partOf('horn-f', 'Bb5:0:1 B5:1:1', timeline, {
      transposition: { semitones: -2, diatonicSteps: -1 },
    });
    const inF = partOf('horn-f', 'Bb5:0:1', timeline);
    expect(readingsOf(inBflatAlto).ranges[0]?.outside.map(({ midi }) => midi)).toEqual([83]);
    expect(readingsOf(inF).ranges[0]?.outside.map(({ midi }) => midi)).toEqual([82]);
  });

  it('has one written compass for clarinets in every key: E3 written is E3 in C, D3 in B flat', () => {
    const inC = partOf('clarinet-bflat', 'E3:0:1 D3:1:1', timeline, {
      transposition: { semitones: 0, diatonicSteps: 0 },
    });
    expect(readingsOf(inC).ranges[0]?.outside.map(({ midi }) => midi)).toEqual([50]);
    expect(readingsOf(partOf('clarinet-bflat', 'D3:0:1', timeline)).ranges[0]?.outside).toEqual([]);
  });

  it('calls C#7 on the violin the edge: over the practical C7 (Gehrkens 1914), under E7 (Adler, from memory)', () => {
    const { ranges } = readingsOf(partOf('violin', 'C7:0:1 C#7:1:1 E7:2:1 F7:3:1', timeline));
    expect(ranges[0]?.edge.map(({ midi }) => midi)).toEqual([97, 100]);
    expect(ranges[0]?.outside.map(({ midi }) => midi)).toEqual([101]);
  });

  it('takes the low C of a double bass with extension for an edge, not for a missing note', () => {
    const { ranges } = readingsOf(partOf('double-bass', 'C1:0:1 B0:1:1', timeline));
    expect(ranges[0]?.edge.map(({ midi }) => midi)).toEqual([24]);
    expect(ranges[0]?.outside.map(({ midi }) => midi)).toEqual([23]);
  });

  it('is judged by what was set for the player where something was', () => {
    const { ranges } = readingsOf(partOf('flute', 'C5:0:1 C6:1:1', timeline, { range: { low: 60, high: 80 } }));
    expect(ranges[0]).toMatchObject({ absolute: { low: 60, high: 80 }, outside: [{ bar: 1, beat: 2, midi: 84 }] });
    expect(ranges[0]?.sources[0]).toBe('set for this player');
  });

  it('has no limits for an instrument nobody knows', () => {
    const { ranges } = readingsOf(partOf('unknown', 'C0:0:1 C9:1:1', timeline));
    expect(ranges[0]).toMatchObject({ low: 12, high: 120, outside: [], edge: [], sources: [] });
    expect(ranges[0]?.absolute).toBeUndefined();
  });
});

describe('a stage with nothing in it', () => {
  it('has no readings but silent beats and bars', () => {
    const readings = readingsOf(partOf('flute', '', timeline));
    expect(readings.register).toEqual([]);
    expect(readings.presence).toEqual([]);
    expect(readings.ranges).toEqual([]);
    expect(readings.melody).toEqual([]);
    expect(readings.balance).toHaveLength(8);
    expect(
      readings.balance.every(({ foregroundDb, backgroundDb }) => (foregroundDb ?? backgroundDb) === undefined),
    ).toBe(true);
  });

  it('may have no parts and no bars at all', () => {
    const stage = stageOf([], { bars: [], tempo: [] });
    expect(analyseStage(stage, writtenOf(stage)).balance).toEqual([]);
  });
});
