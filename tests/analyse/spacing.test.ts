import { describe, expect, it } from 'vitest';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import type { Part } from '../../src/model/music/arrangement.ts';
import { midiOf, parsePitch } from '../../src/model/music/pitch.ts';
import type { SpacingReading } from '../../src/model/readings/spacing.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { writtenOf } from '../support/written.ts';

const timeline = timelineOf(2);
const key = (name: string): number => midiOf(parsePitch(name)!);
const tune = partOf('oboe', 'G4:0:4 C5:4:4', timeline, { role: 'foreground' });

function spacingOf(...parts: Part[]): SpacingReading {
  const stage = stageOf(parts, timeline);
  return analyseStage(stage, writtenOf(stage)).spacing!;
}

describe('families against the foreground', () => {
  it('strings up to E3 lie a minor tenth under an oboe on G4, a flute on E5 a major sixth above it', () => {
    const { families } = spacingOf(
      tune,
      partOf('viola', 'E3:0:4', timeline),
      partOf('cello', 'C3:0:4', timeline),
      partOf('flute', 'E5:0:4', timeline),
    );
    expect(families).toEqual([
      { family: 'woodwind', bar: 1, low: key('E5'), high: key('E5'), centre: key('E5'), distance: 9 },
      { family: 'strings', bar: 1, low: key('C3'), high: key('E3'), centre: 50, distance: -15 },
    ]);
  });

  it('touching and overlapping is no distance, and without the foreground there is none to give', () => {
    const { families } = spacingOf(
      partOf('oboe', 'G4:0:4', timeline, { role: 'foreground' }),
      partOf('violin', 'G4:0:2 B4:2:2 D4:4:4', timeline),
    );
    expect(families.map(({ distance }) => distance)).toEqual([0, undefined]);
  });
});

describe('families against a soloist who plays chords', () => {
  const viola = partOf('viola', 'G3:0:4 G3:4:4', timeline);
  const distances = (...parts: Part[]): (number | undefined)[] =>
    spacingOf(...parts, viola).families.map(({ distance }) => distance);

  it('under a piano the distance is to its tune, not to its left hand', () => {
    // G3 lies inside the compass C3 to C5 and ten semitones under F4, the lowest note of the tune.
    const piano = partOf('piano', 'F4:0:2 C5:2:2 C3:0:4 E3:0:4 D5:4:4 D3:4:4', timeline, { role: 'foreground' });
    expect(distances(piano)).toEqual([-10, -19]);
    expect(spacingOf(piano, viola).families.every(({ isFromTune }) => isFromTune)).toBe(true);
  });

  it('a note of the tune held over the bar line counts in both bars', () => {
    const harp = partOf('harp', 'C5:0:8 C3:0:8', timeline, { role: 'foreground' });
    expect(distances(harp)).toEqual([-17, -17]);
  });

  it('where the tune rests over its own accompaniment there is no distance to give', () => {
    const piano = partOf('piano', 'C5:0:4 C3:0:4 C3:4:4 G2:4:4', timeline, { role: 'foreground' });
    const stage = stageOf([piano, viola], timeline);
    const plain = writtenOf(stage);
    // The left hand stands on the lower staff.
    const written = {
      ...plain,
      parts: plain.parts.map((part) => ({
        ...part,
        notes: part.notes.map((note) => ({ ...note, staff: note.midi < key('G3') ? (2 as const) : note.staff })),
      })),
    };
    const { families } = analyseStage(stage, written).spacing!;
    expect(families.map(({ distance }) => distance)).toEqual([-17, undefined]);
  });

  it('a violin in double stops is measured by its upper line, in single notes by all of them', () => {
    const violin = partOf('violin', 'D5:0:4 B4:0:4 D5:4:2 B4:6:2', timeline, { role: 'foreground' });
    const { families } = spacingOf(violin, viola);
    expect(families.map(({ distance }) => distance)).toEqual([-19, -16]);
    expect(families.map(({ isFromTune }) => isFromTune)).toEqual([true, undefined]);
  });
});

describe('crowding and open space', () => {
  it('an octave with two whole notes and a half note has two and a half notes at once', () => {
    const { octaves } = spacingOf(tune, partOf('violin', 'C4:0:4', timeline), partOf('viola', 'E4:0:2', timeline));
    expect(octaves.filter(({ bar }) => bar === 1)).toEqual([{ bar: 1, octave: 4, notes: 2.5 }]);
  });

  it('the space of a bar is the one that lasts, between neighbours', () => {
    const { spaces } = spacingOf(tune, partOf('cello', 'C3:0:4', timeline), partOf('viola', 'E4:0:3 E3:3:1', timeline));
    expect(spaces[0]).toEqual({ bar: 1, low: key('C3'), high: key('E4') });
  });
});

describe('low intervals (the glossary entry of a music retailer: a fourth is clear from A2, a fifth from C sharp 2)', () => {
  it('D2 with G2 lies seven semitones under, 0.7 auditory bandwidths apart, for half a bar', () => {
    const { lowIntervals } = spacingOf(
      tune,
      partOf('cello', 'D2:0:4', timeline),
      partOf('bassoon', 'G2:0:2', timeline),
    );
    expect(lowIntervals).toMatchObject([{ bar: 1, low: key('D2'), high: key('G2'), under: 7, quarters: 2 }]);
    expect(lowIntervals[0]?.bandwidths).toBeCloseTo(0.7, 1);
    expect(lowIntervals[0]?.partIds).toEqual(['cello', 'bassoon']);
  });

  it('an octave in the depth and a drum are none', () => {
    const low = [partOf('cello', 'D2:0:4', timeline), partOf('double-bass', 'D1:0:4', timeline)];
    expect(spacingOf(tune, ...low, partOf('timpani', 'F2:0:4', timeline)).lowIntervals).toEqual([]);
  });
});
