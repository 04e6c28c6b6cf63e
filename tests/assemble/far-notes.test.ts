/** A note that slipped far from the music, as it happens in every sequencer, and music that is really in two places. */
import { describe, expect, it } from 'vitest';
import { assemble } from '../../src/assemble/assemble.ts';
import type { Arrangement } from '../../src/model/arrangement.ts';
import type { Problem } from '../../src/problems/problem.ts';
import type { FileText } from './raw-folder.ts';
import { rawFolder, rawStage } from './raw-folder.ts';

const one = (file: FileText): Arrangement =>
  assemble(rawFolder([rawStage('01 sketch', file)]), { folderName: 'a folder' });
const barsOf = ({ stages }: Arrangement): number => stages[0]!.timeline.bars.length;
const ofKind = ({ problems }: Arrangement, code: string): readonly Problem[] =>
  problems.filter((problem) => problem.code === code);

/** A whole note in each of so many bars of 4/4, from a bar on. */
const wholes = (bars: number, from = 1): string =>
  Array.from({ length: bars }, (_, bar) => `C5:${String(4 * (from - 1 + bar))}:4`).join(' ');
const noteIn = (bar: number, pitch = 'E5'): string => `${pitch}:${String(4 * (bar - 1))}:1`;

describe('a note far from the music', () => {
  const arrangement = one({
    tracks: [
      { name: 'Flute', music: wholes(16) },
      { name: 'Oboe', music: `${wholes(16)} ${noteIn(3336)}` },
    ],
    meters: [[0, '4/4']],
  });

  it('makes no thousands of empty bars', () => {
    expect(barsOf(arrangement)).toBe(16);
    expect(arrangement.stages[0]!.parts.map(({ notes }) => notes.length)).toEqual([16, 16]);
  });

  it('is named in one sentence with file, track and bar, and what to do', () => {
    expect(ofKind(arrangement, 'far-note')).toEqual([
      {
        kind: 'remark',
        code: 'far-note',
        file: '01 sketch.mid',
        track: 2,
        trackName: 'Oboe',
        message:
          '1 note stands in bar 3336, far from the music (bars 1–16); it was taken for a slip and left out. Delete it, or move it to the music.',
      },
    ]);
  });

  it('is counted from the pickup, and by the meters on the way', () => {
    // A pickup of one quarter, then 3/4 throughout: bar 1000 begins 1 + 999 * 3 quarters after the first tick.
    const { problems } = one({
      tracks: [{ name: 'Flute', music: `G4:0:1 C5:1:3 D5:4:3 E5:7:3 F5:10:3 C5:${String(1 + 999 * 3)}:1` }],
      meters: [
        [0, '1/4'],
        [1, '3/4'],
      ],
    });
    expect(problems.find(({ code }) => code === 'far-note')?.message).toMatch(/^1 note stands in bar 1000, .*bars 0–4/);
  });

  it('is left out before the music as well; the bars keep their numbers, and the long silence is said', () => {
    const early = one({ tracks: [{ name: 'Flute', music: `${noteIn(1)} ${wholes(16, 301)}` }] });
    expect(early.stages[0]!.parts[0]!.notes).toHaveLength(16);
    expect(early.stages[0]!.timeline.bars.at(-1)?.number).toBe(316);
    expect(ofKind(early, 'far-note')[0]?.message).toContain('in bar 1, far from the music (bars 301–316)');
    expect(ofKind(early, 'long-silence')[0]?.message).toMatch(/^No note begins in bars 1–300, .*300 bars/);
  });

  it('stays where the silence is one that music may have', () => {
    const late = one({ tracks: [{ name: 'Flute', music: `${wholes(16)} ${noteIn(200)}` }] });
    expect(late.stages[0]!.parts[0]!.notes).toHaveLength(17);
    expect(late.problems.map(({ code }) => code)).not.toContain('far-note');
  });

  it('stays where it is music: a second movement after a long gap, and a piece that is nothing but far notes', () => {
    const two = one({ tracks: [{ name: 'Flute', music: `${wholes(64)} ${wholes(32, 500)}` }] });
    expect(two.stages[0]!.parts[0]!.notes).toHaveLength(96);
    expect(ofKind(two, 'long-silence')[0]?.message).toMatch(/^No note begins in bars 65–499, .*435 bars/);
    const sparse = one({ tracks: [{ name: 'Flute', music: [1, 300, 600].map((bar) => noteIn(bar)).join(' ') }] });
    expect(sparse.stages[0]!.parts[0]!.notes).toHaveLength(3);
  });

  it('ends no part of which nothing else is there in silence: the track is named', () => {
    const gone = one({
      tracks: [
        { name: 'Flute', music: wholes(16) },
        { name: 'Gong', music: noteIn(900) },
      ],
    });
    expect(gone.stages[0]!.parts.map(({ name }) => name)).toEqual(['Flute']);
    expect(ofKind(gone, 'far-note')[0]).toMatchObject({ trackName: 'Gong' });
  });
});

describe('a note that is held for hundreds of bars after the last one begins', () => {
  it('ends there: its key-up is missing', () => {
    const stuck = one({ tracks: [{ name: 'Organ', music: `${wholes(16)} G3:32:12000` }] });
    expect(barsOf(stuck)).toBe(16);
    expect(ofKind(stuck, 'stuck-note')[0]).toMatchObject({ track: 1, trackName: 'Organ' });
    expect(ofKind(stuck, 'stuck-note')[0]?.message).toMatch(/^1 note is held more than 200 bars/);
  });

  it('is a drone where others play above it', () => {
    const drone = one({ tracks: [{ name: 'Organ', music: `C2:0:1600 ${wholes(400)}` }] });
    expect(barsOf(drone)).toBe(400);
    expect(drone.problems.map(({ code }) => code)).not.toContain('stuck-note');
    expect(drone.stages[0]!.parts[0]!.notes.find(({ midi }) => midi === 36)?.endQuarters).toBe(1600);
  });
});

describe('music of very long bars', () => {
  it('is read up to as many quarter notes as some thousand usual bars hold', () => {
    const music = Array.from({ length: 300 }, (_, bar) => `C5:${String(256 * bar)}:4`).join(' ');
    const long = one({ tracks: [{ name: 'Flute', music }], meters: [[0, '64/1']] });
    const { bars } = long.stages[0]!.timeline;
    expect(bars.reduce((sum, { lengthQuarters }) => sum + lengthQuarters, 0)).toBeLessThanOrEqual(20_000 + 256);
    expect(ofKind(long, 'note-too-far')[0]?.message).toMatch(/^\d+ note\(s\) start after bar 79,/);
  });
});
