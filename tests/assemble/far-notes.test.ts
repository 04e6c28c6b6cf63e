/** A note that slipped far from the music, as it happens in every sequencer, and music that is really in two places: takes put out of the way. */
import { describe, expect, it } from 'vitest';
import { assemble } from '../../src/assemble/assemble.ts';
import type { Arrangement } from '../../src/model/music/arrangement.ts';
import type { BarSpan } from '../../src/read/settings/settings.ts';
import type { Problem } from '../../src/problems/problem.ts';
import type { FileText } from './raw-folder.ts';
import { rawFolder, rawStage } from './raw-folder.ts';

const one = (file: FileText): Arrangement =>
  assemble(rawFolder([rawStage('01 sketch', file)]), { folderName: 'a folder' });
const barsOf = ({ stages }: Arrangement): number => stages[0]!.timeline.bars.length;
const ofKind = ({ problems }: Arrangement, code: string): readonly Problem[] =>
  problems.filter((problem) => problem.code === code);

const spanOf = (from: number, to: number): number[] => Array.from({ length: to - from + 1 }, (_, bar) => from + bar);

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

  it('is left out before the music as well; the bars keep their numbers, and the first that is shown is where the music begins', () => {
    const early = one({ tracks: [{ name: 'Flute', music: `${noteIn(1)} ${wholes(16, 301)}` }] });
    expect(early.stages[0]!.parts[0]!.notes).toHaveLength(16);
    expect(early.stages[0]!.timeline.bars.map(({ number }) => number)).toEqual(spanOf(301, 316));
    // Sixteen bars of 4/4 at 120 to the minute.
    expect(early.stages[0]!.seconds).toBe(32);
    expect(early.stages[0]!.parts[0]!.notes[0]).toMatchObject({ startQuarters: 1200 });
    expect(ofKind(early, 'far-note')[0]?.message).toContain('in bar 1, far from the music (bars 301–316)');
  });

  it('stays where the silence is one that music may have', () => {
    const late = one({ tracks: [{ name: 'Flute', music: `${wholes(16)} ${noteIn(200)}` }] });
    expect(late.stages[0]!.parts[0]!.notes).toHaveLength(17);
    expect(late.problems.map(({ code }) => code)).not.toContain('far-note');
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

describe('music in two places with hundreds of silent bars between them', () => {
  const music: FileText = {
    tracks: [
      { name: 'Flute', music: `${wholes(30)} ${wholes(20, 3336)}` },
      { name: 'Oboe', music: wholes(30) },
    ],
    markers: [
      [0, 'Verse'],
      [4 * 3335, 'Old take'],
    ],
  };
  const shown = (bars?: BarSpan): Arrangement =>
    assemble(rawFolder([rawStage('01 sketch', music)], bars === undefined ? {} : { bars }), { folderName: 'a folder' });

  it('is shown where most of its notes are, and the rest is asked about with the setting that settles it', () => {
    const arrangement = shown();
    expect(barsOf(arrangement)).toBe(30);
    expect(arrangement.stages[0]!.sections).toEqual([{ name: 'Verse', from: 1, to: 30 }]);
    expect(ofKind(arrangement, 'music-apart')).toEqual([
      {
        kind: 'remark',
        code: 'music-apart',
        file: '01 sketch.mid',
        message:
          'The music of bars 3336–3355 (20 notes) is more than 200 silent bars from most of it (bars 1–30) and was left out: say in dossier.yaml which bars are the piece, all of it with “bars: 1-3355”.',
      },
    ]);
    expect(arrangement.stages[0]!.questions[0]?.text).toBe(
      'The music of bars 3336–3355 (20 notes) was left out, as more than 200 silent bars lie between it and most of the music: is the piece bars 1–30? Then say bars: 1-30 in dossier.yaml; all of it is shown with bars: 1-3355, silence included.',
    );
  });

  it.each([
    ['the first of them', { from: 1, to: 30 }, 1, 30, 60],
    ['the second, with the numbers that its bars have in the files', { from: 3336, to: 3355 }, 3336, 3355, 20],
    ['a part of the first, whose last note ends with it', { from: 5, to: 12 }, 1, 12, 16],
    ['all of it, silence included', { from: 1, to: 3355 }, 1, 3355, 80],
  ])('is %s where the settings say so, and nothing is asked', (_, bars, first, last, notes) => {
    const arrangement = shown(bars);
    const [stage] = arrangement.stages;
    expect(stage!.timeline.bars.map(({ number }) => number)).toEqual(spanOf(first, last));
    expect(stage!.parts.flatMap((part) => part.notes)).toHaveLength(notes);
    expect(stage!.questions.map(({ text }) => text).join()).not.toContain('left out');
    expect(arrangement.problems).toEqual([]);
  });

  it('is refused where the settings name bars in which nothing begins', () => {
    expect(() => shown({ from: 40, to: 50 })).toThrow(
      'No note begins in bars 40–50, which “bars” says the piece is: write the first and last bar of the piece.',
    );
  });

  it('is asked about where a piece has nothing but single notes that far apart', () => {
    const sparse = one({ tracks: [{ name: 'Gong', music: [1, 300, 600].map((bar) => noteIn(bar)).join(' ') }] });
    expect(sparse.stages[0]!.parts[0]!.notes).toHaveLength(1);
    expect(ofKind(sparse, 'music-apart')[0]?.message).toMatch(
      /^The music of bar 300 \(1 note\) and bar 600 \(1 note\) is .*“bars: 1-600”\.$/,
    );
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
