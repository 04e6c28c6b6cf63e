import { describe, expect, it } from 'vitest';
import { assemble } from '../../src/assemble/assemble.ts';
import type { Arrangement, Part } from '../../src/model/music/arrangement.ts';
import { InputError } from '../../src/problems/problem.ts';
import type { Problem } from '../../src/problems/problem.ts';
import type { RawFolder } from '../../src/read/raw.ts';
import { leadSpan } from '../support/arrangement.ts';
import { rawFolder, rawStage } from './raw-folder.ts';
import type { FileText } from './raw-folder.ts';

const options = { folderName: 'a folder' };
const made = (folder: RawFolder): Arrangement => assemble(folder, options);
const one = (file: FileText, content = {}): Arrangement => made(rawFolder([rawStage('01 sketch', file)], content));
const partNames = (arrangement: Arrangement, stage = 0): string[] =>
  arrangement.stages[stage]!.parts.map((part) => part.name);
const instrumentsOf = (arrangement: Arrangement): string[] =>
  arrangement.stages[0]!.parts.map((part) => part.instrument);
const part = (arrangement: Arrangement, name: string): Part =>
  arrangement.stages.at(-1)!.parts.find((own) => own.name === name)!;

function problemsOf(folder: RawFolder): readonly Problem[] {
  try {
    made(folder);
  } catch (error) {
    if (error instanceof InputError) return error.problems;
    throw error;
  }
  return [];
}

describe('bars and seconds', () => {
  it('without tempo and meter a stage runs at 120 in 4/4, and says so', () => {
    const arrangement = one({ tracks: [{ name: 'Flute', music: 'C5:0:4 D5:4:4' }] });
    const { bars } = arrangement.stages[0]!.timeline;
    expect(bars.map((bar) => [bar.number, bar.startSecond, bar.lengthSeconds, bar.tempo])).toEqual([
      [1, 0, 2, 120],
      [2, 2, 2, 120],
    ]);
    expect(arrangement.assumptions.join(' ')).toMatch(/120.*4\/4/s);
  });

  it('a bar of 1/4 before 4/4 is a pickup, bar 0, and bar 1 starts at zero', () => {
    const stage = one({
      tracks: [{ name: 'Flute', music: 'G4:0:1 C5:1:4 D5:5:4' }],
      meters: [
        [0, '1/4'],
        [1, '4/4'],
      ],
      tempos: [[0, 60]],
    }).stages[0]!;
    expect(
      stage.timeline.bars.map((bar) => [bar.number, bar.startQuarters, bar.lengthQuarters, bar.startSecond]),
    ).toEqual([
      [0, -1, 1, 0],
      [1, 0, 4, 1],
      [2, 4, 4, 5],
    ]);
    expect(stage.parts[0]!.notes.map((note) => note.startQuarters)).toEqual([-1, 0, 4]);
  });

  it('a pickup that is set cuts the silence off a full first bar', () => {
    const stage = one({ tracks: [{ name: 'Flute', music: 'G4:3:1 C5:4:4' }], meters: [[0, '4/4']] }, { pickup: 1 })
      .stages[0]!;
    expect(stage.timeline.bars.map((bar) => [bar.number, bar.startQuarters, bar.lengthQuarters])).toEqual([
      [0, -1, 1],
      [1, 0, 4],
    ]);
    expect(stage.parts[0]!.notes[0]!.startSecond).toBe(0);
  });

  it('a first bar that is silent up to its last beat is asked about: it may be a pickup', () => {
    const told = (music: string, pickup?: number): readonly string[] =>
      one(
        { tracks: [{ name: 'Flute', music }], meters: [[0, '4/4']] },
        pickup === undefined ? {} : { pickup },
      ).assumptions.filter((sentence) => sentence.includes('pickup:'));
    const upbeat = 'G4:3:1 C5:4:4 D5:8:4';
    expect(told(upbeat)).toEqual([
      'Bar 1 is silent but for its last quarter note, so it may be a pickup: set pickup: 1 to call it bar 0 and the next one bar 1.',
    ]);
    expect(told('G4:2.5:1.5 C5:4:4')[0]).toContain('set pickup: 1.5 ');
    expect(told(upbeat, 1)).toEqual([]);
    expect(told(upbeat, 0)).toEqual([]);
    expect(told('G4:1:3 C5:4:4')).toEqual([]);
    expect(told('G4:0:4 C5:4:4')).toEqual([]);
  });

  it('pickup: 0 keeps a short first bar as bar 1', () => {
    const stage = one(
      {
        tracks: [{ name: 'Flute', music: 'G4:0:1 C5:1:4' }],
        meters: [
          [0, '1/4'],
          [1, '4/4'],
        ],
      },
      { pickup: 0 },
    ).stages[0]!;
    expect(stage.timeline.bars.map((bar) => bar.number)).toEqual([1, 2]);
  });

  it('a meter change inside a bar cuts it short, with a remark', () => {
    const arrangement = one({
      tracks: [{ name: 'Flute', music: 'C5:0:9' }],
      meters: [
        [0, '4/4'],
        [6, '3/4'],
      ],
    });
    expect(arrangement.stages[0]!.timeline.bars.map((bar) => bar.lengthQuarters)).toEqual([4, 2, 3]);
    expect(arrangement.problems.map((problem) => problem.code)).toContain('meter-inside-bar');
  });

  it('seconds follow a tempo change inside a bar', () => {
    const stage = one({
      tracks: [{ name: 'Flute', music: 'C5:0:2 D5:2:2 E5:4:4' }],
      tempos: [
        [0, 60],
        [2, 120],
      ],
      meters: [[0, '4/4']],
    }).stages[0]!;
    expect(stage.parts[0]!.notes.map((note) => note.startSecond)).toEqual([0, 2, 3]);
    expect(stage.seconds).toBeCloseTo(5, 9);
  });

  it('parts in files of different divisions share the tempo that only one of them has', () => {
    const stage = made(
      rawFolder([
        rawStage(
          'quartet',
          { tracks: [{ name: 'Violin I', music: 'C5:0:4' }], ticksPerQuarter: 96 },
          {
            tracks: [{ name: 'Viola', music: 'C4:4:4' }],
            ticksPerQuarter: 960,
            tempos: [[0, 60]],
            meters: [[0, '3/4']],
          },
        ),
      ]),
    ).stages[0]!;
    expect(stage.timeline.bars.map((bar) => bar.lengthQuarters)).toEqual([3, 3, 3]);
    expect(stage.parts.map((own) => [own.instrument, own.notes[0]!.startSecond, own.notes[0]!.endSecond])).toEqual([
      ['violin', 0, 4],
      ['viola', 4, 8],
    ]);
  });

  it('of contradictory tempo maps the one that says most is used, with a remark', () => {
    const arrangement = made(
      rawFolder([
        rawStage(
          'q',
          { tracks: [{ name: 'Violin', music: 'C5:0:4' }], tempos: [[0, 120]] },
          {
            tracks: [{ name: 'Viola', music: 'C4:0:4' }],
            tempos: [
              [0, 60],
              [2, 90],
            ],
          },
        ),
      ]),
    );
    expect(arrangement.stages[0]!.timeline.bars[0]!.tempo).toBe(60);
    expect(arrangement.problems.map((problem) => problem.code)).toContain('contradictory-tempo');
  });

  it('a file that counts in seconds is placed by the clock', () => {
    const arrangement = one({
      tracks: [{ name: 'Flute', notes: [{ midi: 72, velocity: 80, startTick: 1000, endTick: 2000 }] }],
      ticksPerSecond: 1000,
    });
    expect(arrangement.stages[0]!.parts[0]!.notes[0]).toMatchObject({ startSecond: 1, endSecond: 2, startQuarters: 2 });
    expect(arrangement.problems.map((problem) => problem.code)).toContain('smpte-time');
  });

  it('a note a million bars away does not make a million bars', () => {
    const arrangement = one({ tracks: [{ name: 'Flute', music: 'C5:0:4 D5:4:4 E5:559240:1' }] });
    expect(arrangement.stages[0]!.timeline.bars).toHaveLength(2);
    expect(arrangement.problems.map(({ message }) => message)).toEqual([
      'The music of bar 139811 (1 note) is more than 200 silent bars from most of it (bars 1–2) and was left out: move it nearer in the sequencer if it belongs to the piece.',
    ]);
  });

  it('a key-up just over the last bar line opens no further bar', () => {
    expect(one({ tracks: [{ name: 'Flute', music: 'C5:0:4.1' }] }).stages[0]!.timeline.bars).toHaveLength(1);
  });
});

describe('sections and keys', () => {
  it('markers start sections at the nearest bar; an empty one and a repeated one count for nothing', () => {
    const stage = one({
      tracks: [{ name: 'Flute', music: 'C5:0:16' }],
      markers: [
        [0, 'Intro'],
        [0, 'Intro'],
        [4.2, 'A'],
        [8, ' '],
      ],
    }).stages[0]!;
    expect(stage.sections).toEqual([
      { name: 'Intro', from: 1, to: 1 },
      { name: 'A', from: 2, to: 4 },
    ]);
  });

  it('without markers the piece is one section', () => {
    expect(one({ tracks: [{ name: 'Flute', music: 'C5:0:16' }] }).stages[0]!.sections).toEqual([
      { name: 'Whole piece', from: 1, to: 4 },
    ]);
  });

  it('three flats minor is C minor; a lone C major at the start states nothing', () => {
    const keyOf = (fifths: number, mode: 'major' | 'minor'): unknown =>
      one({ tracks: [{ name: 'Flute', music: 'C5:0:4' }], keys: [[0, fifths, mode]] }).stages[0]!.statedKeys;
    expect(keyOf(-3, 'minor')).toMatchObject([{ fromBar: 1, tonic: { step: 'C', alter: 0 }, mode: 'minor' }]);
    expect(keyOf(-6, 'major')).toMatchObject([{ tonic: { step: 'G', alter: -1 } }]);
    expect(keyOf(4, 'minor')).toMatchObject([{ tonic: { step: 'C', alter: 1 } }]);
    expect(keyOf(0, 'major')).toEqual([]);
  });
});

describe('stages', () => {
  const file: FileText = { tracks: [{ name: 'Flute', music: 'C5:0:4' }] };

  it('a leading number orders but is no part of the title', () => {
    const { stages } = made(
      rawFolder([rawStage('01 melody', file), rawStage('02_string-quartet', file), rawStage('03', file)]),
    );
    expect(stages.map((stage) => stage.title)).toEqual(['Melody', 'String quartet', 'Stage 3']);
    expect(stages.map((stage) => stage.id)).toEqual(['stage-01-melody', 'stage-02-string-quartet', 'stage-03-stage-3']);
  });

  it('ids are safe and unique for hostile names', () => {
    const names = ['../../etc', '<b>x</b>', '弦楽', 'Été', 'été', 'a'.repeat(300)];
    const ids = made(rawFolder(names.map((name) => rawStage(name, file)))).stages.map((stage) => stage.id);
    expect(new Set(ids).size).toBe(names.length);
    for (const id of ids) expect(id).toMatch(/^stage-\d\d[a-z0-9-]*$/);
  });

  it('settings can reorder and rename them', () => {
    const { stages } = made(
      rawFolder([rawStage('a', file), rawStage('b', file)], { stages: { 'b.mid': { order: 1, title: 'First' } } }),
    );
    expect(stages.map((stage) => stage.title)).toEqual(['First', 'A']);
  });

  it('a file without notes is no stage and does not sink the folder', () => {
    const arrangement = made(
      rawFolder([rawStage('01 empty', { tracks: [{ name: 'Tempo' }] }), rawStage('02 x', file)]),
    );
    expect(arrangement.stages).toHaveLength(1);
    expect(arrangement.files[0]!.use).toBe('not used');
    expect(arrangement.problems).toContainEqual(expect.objectContaining({ code: 'no-notes', kind: 'refused' }));
  });

  it('a folder without any music is refused in words', () => {
    expect(problemsOf(rawFolder([])).at(-1)).toMatchObject({
      kind: 'refused',
      message: expect.stringMatching(/\.mid.*\.smf/) as string,
    });
    expect(
      problemsOf(rawFolder([rawStage('x', { tracks: [{ name: 'Tempo' }] })])).map((problem) => problem.kind),
    ).toEqual(['refused', 'refused']);
  });

  it('a part keeps its id from stage to stage, whatever its name is spelled like', () => {
    const { stages } = made(
      rawFolder([
        rawStage('01', { tracks: [{ name: 'Violin', music: 'C5:0:4' }] }),
        rawStage('02', {
          tracks: [
            { name: 'Vn II', music: 'C4:0:4' },
            { name: 'Violine I', music: 'C5:0:4' },
          ],
        }),
      ]),
    );
    const ids = stages.map((stage) => stage.parts.map((own) => own.id));
    expect(ids[1]).toHaveLength(2);
    expect(ids[1]![0]).toBe(ids[0]![0]);
  });
});

describe('which tracks are one part', () => {
  it('articulations of one instrument are, first and second violins are not', () => {
    const arrangement = one({
      tracks: [
        { name: 'Vn I legato', music: 'G4:0:2' },
        { name: 'Vn I pizz', music: 'G4:2:1' },
        { name: 'Vn II legato', music: 'D4:0:2' },
        { name: 'Vn II pizz', music: 'D4:2:1' },
      ],
    });
    expect(partNames(arrangement)).toEqual(['Vn I', 'Vn II']);
    expect(part(arrangement, 'Vn I').notes.map((note) => note.trackIndex)).toEqual([0, 1]);
    expect(part(arrangement, 'Vn I').tracks.map((track) => track.articulation)).toEqual(['legato', 'pizz']);
    expect(arrangement.stages[0]!.parts.map((own) => own.abbreviation)).toEqual(['Vn 1', 'Vn 2']);
  });

  it('the two hands of a piano are', () => {
    expect(
      partNames(
        one({
          tracks: [
            { name: 'Piano RH', music: 'G4:0:2' },
            { name: 'Piano LH', music: 'C3:0:2' },
          ],
        }),
      ),
    ).toEqual(['Piano']);
  });

  it('horns 1 and 2 are two parts', () => {
    expect(
      partNames(
        one({
          tracks: [
            { name: 'Horn 1', music: 'G4:0:2' },
            { name: 'Horn 2', music: 'C4:0:2' },
          ],
        }),
      ),
    ).toEqual(['Horn 1', 'Horn 2']);
  });

  it('two tracks called Horn with different music at once are two players, numbered', () => {
    const arrangement = one({
      tracks: [
        { name: 'Horn', music: 'G4:0:2 A4:2:2' },
        { name: 'Horn', music: 'C4:0:2 D4:2:2', channel: 1 },
      ],
    });
    expect(arrangement.stages[0]!.parts.map((own) => [own.abbreviation, own.number])).toEqual([
      ['Hn 1', 1],
      ['Hn 2', 2],
    ]);
  });

  it('a short name that says who plays stays where its player would not look under the usual abbreviation', () => {
    const names = ['Reed 1 (Fl/Picc)', 'Keys 1', 'ROSALIND (vox)', 'Bone', 'Violine 1', 'Cello', 'Kontrabass'];
    const pitches = ['C5', 'D4', 'E4', 'F3', 'G5', 'A3', 'C2'];
    const tracks = names.map((name, index) => ({ name, music: `${pitches[index] ?? ''}:0:4`, channel: index }));
    expect(one({ tracks }).stages[0]!.parts.map((own) => [own.name, own.abbreviation])).toEqual([
      ['Reed 1 (Fl/Picc)', 'Reed 1'],
      ['Bone', 'Bone'],
      ['Keys 1', 'Keys 1'],
      ['ROSALIND (vox)', 'ROSALIND'],
      ['Violine 1', 'Vl. 1'],
      ['Cello', 'Vc'],
      ['Kontrabass', 'Kb.'],
    ]);
  });

  // Abbreviations of the trade by language: shared/instruments.json; one language in one score: common practice, no source.
  it('a score has its short names in the language of its long ones', () => {
    const names = ['Fl.', 'Htb.', 'Timb.', 'Bandoneón', 'Guitarra', 'Vlns I', 'Vlns II', 'Violoncello', 'Contrabbassi'];
    const pitches = ['C6', 'D5', 'E2', 'F4', 'G3', 'A5', 'B4', 'C3', 'D2'];
    const tracks = names.map((name, index) => ({ name, music: `${pitches[index] ?? ''}:0:4`, channel: index }));
    const short = new Map(one({ tracks }).stages[0]!.parts.map((own) => [own.name, own.abbreviation]));
    expect(names.map((name) => short.get(name))).toEqual([
      'Fl.',
      'Htb.',
      'Timb.',
      'Band.',
      'Guitarra',
      'Vlns 1',
      'Vlns 2',
      'Vc',
      'Cb.',
    ]);
  });

  // Common practice, no source: a word is shortened before a vowel, with a full stop.
  it('a name that has no short form of the trade is cut between syllables, with a full stop', () => {
    const tracks = ['Schlagwerk', 'Taikos'].map((name) => ({ name, music: 'C3:0:4', channel: 9 }));
    const short = new Map(one({ tracks }).stages[0]!.parts.map((own) => [own.name, own.abbreviation]));
    expect(short.get('Schlagwerk')).toBe('Schlagw.');
    expect(short.get('Taikos')).toBe('Taikos');
  });

  it('a key in a name does not lead to the short name of another language', () => {
    const names = ['Klarinetten in B', 'Hörner in Es', 'Corno I in Fa', 'Pist. in B', 'Clarinet in B flat'];
    const pitches = ['C5', 'G3', 'A3', 'E4', 'D5'];
    const tracks = names.map((name, index) => ({ name, music: `${pitches[index] ?? ''}:0:4`, channel: index }));
    const short = new Map(one({ tracks }).stages[0]!.parts.map((own) => [own.name, own.abbreviation]));
    expect(names.map((name) => short.get(name)?.charAt(0))).toEqual(['K', 'H', 'C', 'P', 'C']);
  });

  it('manuals and pedals of an organ are, called by what they have in common', () => {
    const arrangement = one({
      tracks: [
        { name: 'Organ (manuals)', music: 'C4:0:4 E4:0:4 G4:0:4' },
        { name: 'Organ (pedals)', music: 'C2:0:4' },
      ],
    });
    expect(partNames(arrangement)).toEqual(['Organ']);
  });

  it('two tracks called Horn that take turns are one part', () => {
    expect(
      partNames(
        one({
          tracks: [
            { name: 'Horn', music: 'G4:0:2' },
            { name: 'Horn', music: 'C4:4:2' },
          ],
        }),
      ),
    ).toEqual(['Horn']);
  });

  it('ways of playing of whatever wording are one part where they take turns, two where they sound together', () => {
    const turns = one({
      tracks: [
        { name: 'Violins I Silken', music: 'C5:0:4 E5:8:4', channel: 0 },
        { name: 'Violins I Bouncy', music: 'D5:4:1 D5:5:1 D5:12:2', channel: 1 },
      ],
    });
    expect(turns.stages[0]!.parts).toHaveLength(1);
    const together = one({
      tracks: [
        { name: 'Violins I legato', music: 'C5:0:4 E5:4:4 G5:8:4', channel: 0 },
        { name: 'Violins I pizz', music: 'E4:0:4 G4:4:4 B4:8:4', channel: 1 },
      ],
    });
    expect(together.stages[0]!.parts).toHaveLength(2);
  });

  it('an offstage player who takes turns with the others stays a part', () => {
    const { stages } = one({
      tracks: [
        { name: 'Trumpet', music: 'C5:0:4 E5:8:4', channel: 0 },
        { name: 'Trumpet offstage', music: 'D5:4:4 D5:12:4', channel: 1 },
      ],
    });
    expect(stages[0]!.parts).toHaveLength(2);
  });

  it('a copy of a track that was left in the export counts once, and is asked about', () => {
    const music = 'C4:0:1 E4:1:1 G4:2:1 C5:3:1 E4:4:2 C4:6:2';
    const humanised = 'C4:0.03:1 E4:1.02:1 G4:1.98:1 C5:3.01:1 E4:4.04:2 C4:5.99:2';
    const arrangement = one({
      tracks: [
        { name: 'Vln I', music },
        { name: 'Vln I copy', music: humanised },
        { name: 'Vln II', music },
      ],
    });
    expect(arrangement.stages[0]!.parts.map((own) => own.notes.length)).toEqual([6, 6]);
    expect(arrangement.stages[0]!.questions.map((question) => question.text).join(' ')).toMatch(
      /Vln I copy.*same notes.*Vln I.*counted once/,
    );
  });

  it('two desks that merely meet on a note both keep it', () => {
    const arrangement = one({
      tracks: [
        { name: 'Vln I div a', music: 'C5:0:1 E5:1:1 G5:2:1 C6:3:1 E5:4:1' },
        { name: 'Vln I div b', music: 'C5:0:1 C5:1:1 E5:2:1 G5:3:1 E5:4:1' },
      ],
    });
    expect(arrangement.stages[0]!.parts.map((own) => [own.name, own.notes.length])).toEqual([['Vln I', 10]]);
    expect(arrangement.stages[0]!.questions.filter((question) => question.code === 'other')).toEqual([]);
  });

  it('a join in the settings is obeyed, an ignored track is left out', () => {
    const arrangement = one(
      {
        tracks: [
          { name: 'Flute', music: 'C5:0:1' },
          { name: 'Swells', music: 'C5:4:1' },
          { name: 'Click', music: 'C2:0:1' },
        ],
      },
      { parts: { Swells: { join: 'Flute' }, Click: { ignore: true } } },
    );
    expect(partNames(arrangement)).toEqual(['Flute']);
    expect(part(arrangement, 'Flute').notes).toHaveLength(2);
  });
});

describe('a click that was exported with the music', () => {
  const flute = { name: 'Flute', music: 'C5:0:4' };
  const click = { name: 'Click track', music: 'E5:0:1 F5:1:1 F5:2:1 F5:3:1' };

  it('is no part, and that is said', () => {
    const arrangement = one({ tracks: [flute, click] });
    expect(partNames(arrangement)).toEqual(['Flute']);
    const [said] = arrangement.problems.filter(({ code }) => code === 'click-track');
    expect(said?.message).toContain('A click, which is no part of the music, was left out');
  });

  it('is music where the settings name an instrument, where it has a tune, and where nothing else plays', () => {
    const settings = { parts: { 'Click track': { instrument: 'woodblock' } } };
    expect(partNames(one({ tracks: [flute, click] }, settings))).toHaveLength(2);
    const tune = { name: 'Click', music: 'E5:0:1 F5:1:1 G5:2:1 A5:3:1' };
    expect(partNames(one({ tracks: [flute, tune] }))).toHaveLength(2);
    expect(partNames(one({ tracks: [click] }))).toHaveLength(1);
  });
});

describe('which instrument', () => {
  const music = 'C4:0:4';

  it('alto among French strings is the viola, among voices the voice', () => {
    const strings = one({
      tracks: ['Violon I', 'Violon II', 'Alto', 'Violoncelle', 'Contrebasse'].map((name) => ({ name, music })),
    });
    expect(instrumentsOf(strings)).toEqual(['violin', 'violin', 'viola', 'cello', 'double-bass']);
    const voices = one({ tracks: ['Soprano', 'Alto', 'Tenor', 'Bass'].map((name) => ({ name, music })) });
    expect(instrumentsOf(voices)).toEqual(['voice-soprano', 'voice-alto', 'voice-tenor', 'voice-bass']);
  });

  it('a track called Voice is one singer where it has one line, a choir where it has chords', () => {
    for (const name of ['Voice', 'Singstimme', 'Canto', 'Chant']) {
      expect(instrumentsOf(one({ tracks: [{ name, music: 'C5:0:1 D5:1:1 E5:2:1 D5:3:1' }] }))).toEqual(['voice']);
      expect(instrumentsOf(one({ tracks: [{ name, music: 'C4:0:2 E4:0:2 G4:0:2 B3:2:2 D4:2:2 G4:2:2' }] }))).toEqual([
        'choir',
      ]);
    }
  });

  it('the only singer among instruments is in front though the piano plays higher and faster', () => {
    const piano = Array.from({ length: 16 }, (_, index) => `${index % 2 === 0 ? 'C6' : 'G5'}:${String(index / 2)}:0.5`);
    const song = one({
      tracks: [
        { name: 'Piano', music: piano.join(' ') },
        { name: 'Voice', music: 'E4:0:2 F4:2:2 G4:4:4' },
      ],
    });
    const [stage] = song.stages;
    expect(stage!.foreground.map((span) => span.partId)).toEqual([part(song, 'Voice').id]);
  });

  // Common practice, no source: nobody exports a choir's basses with the program of a bass guitar (General MIDI 34, finger bass).
  it('a bass between choir and drums with the program of a bass guitar is one; Tens beside Sops are tenors', () => {
    const names = ['LEAD Sis Ruth', 'Sops', 'Altos', 'Tens'].map((name) => ({ name, music, program: 52 }));
    const stage = one({
      tracks: [
        ...names,
        { name: 'Bass', music: 'F1:0:0.5 F1:0.5:0.5 C2:1:0.5 Eb2:1.5:0.5', program: 33 },
        { name: 'Kit', music: 'C2:0:1 D2:1:1', channel: 9 },
        { name: 'Gtr cln', music, program: 27 },
        { name: 'Keys 1', music },
        { name: 'Tenor Saxophone', music, program: 66 },
      ],
    });
    const read = ['Sops', 'Altos', 'Tens', 'Bass'].map((name) => part(stage, name));
    expect(read.map(({ instrument }) => instrument)).toEqual([
      'voice-soprano',
      'voice-alto',
      'voice-tenor',
      'bass-guitar',
    ]);
    expect(read.map(({ players }) => players)).toEqual([8, 8, 8, 1]);
  });

  it('bass on program 33 is a bass guitar, beside strings a double bass', () => {
    expect(instrumentsOf(one({ tracks: [{ name: 'Bass', music: 'E1:0:4', program: 33 }] }))).toEqual(['bass-guitar']);
    expect(
      instrumentsOf(
        one({
          tracks: [
            { name: 'Violin', music },
            { name: 'Cello', music },
            { name: 'Bass', music: 'E1:0:4' },
          ],
        }),
      ),
    ).toContain('double-bass');
  });

  it('the name beats the program, and the clash is asked about', () => {
    const stage = one({ tracks: [{ name: 'Oboe', music: 'C5:0:4', program: 73 }] }).stages[0]!;
    expect(stage.parts[0]!.instrument).toBe('oboe');
    expect(stage.questions).toContainEqual(expect.objectContaining({ code: 'instrument-clash', partId: 'oboe' }));
  });

  it.each([
    ['Tenorhorn', 58, false],
    ['Bouzouki', 25, false],
    ['Bouzouki', 71, true],
    ['Tuba', 57, true],
  ])(
    '%s on program %s, which is of its family where General MIDI has none of its own: asked is %s',
    (name, program, asked) => {
      const { questions } = one({ tracks: [{ name, music: 'C4:0:4', program }] }).stages[0]!;
      expect(questions.some(({ code }) => code === 'instrument-clash')).toBe(asked);
    },
  );

  it('a harp that the count of channels brought to channel 10 is asked about only without a program of its own', () => {
    const codes = (program: number): readonly string[] =>
      one({ tracks: [{ name: 'Arpa', music: 'C4:0:4', program, channel: 9 }] }).stages[0]!.questions.map(
        ({ code }) => code,
      );
    expect(codes(46)).not.toContain('instrument-clash');
    expect(codes(0)).toContain('instrument-clash');
  });

  it('without a name that tells, the General MIDI program does, as a guess', () => {
    const stage = one({
      tracks: [
        { name: 'Track 1', music, program: 68 },
        { name: '', music, channel: 9 },
      ],
    }).stages[0]!;
    expect(stage.parts.map((own) => [own.instrument, own.recognisedBy])).toEqual([
      ['oboe', 'program'],
      ['percussion-unpitched', 'channel'],
    ]);
    expect(stage.questions.map((question) => question.code)).toEqual(['instrument-guessed', 'foreground-guessed']);
  });

  it('an instrument that the catalogue lacks is asked about, not judged as another', () => {
    const arrangement = one({ tracks: [{ name: 'Contrabass Recorder', music: 'C2:0:4', program: 71 }] });
    expect(instrumentsOf(arrangement)).toEqual(['unknown']);
    expect(arrangement.stages[0]!.questions[0]!.text).toMatch(/Contrabass Recorder.*catalogue lacks/);
  });

  it('numbers down the track list are no player numbers', () => {
    const arrangement = one({
      tracks: ['1. Flute', '2. Oboe', '3. Horn', '4. Violin'].map((name) => ({ name, music })),
    });
    expect(arrangement.stages[0]!.parts.map((own) => own.number)).toEqual([undefined, undefined, undefined, undefined]);
    const players = one({ tracks: ['1. Violine', '2. Violine', 'Viola'].map((name) => ({ name, music })) });
    expect(players.stages[0]!.parts.map((own) => own.number)).toEqual([1, 2, undefined]);
  });

  it('a horn in E flat sounds a major sixth below what is written', () => {
    expect(one({ tracks: [{ name: 'Horn in Es', music }] }).stages[0]!.parts[0]!.transposition).toEqual({
      semitones: -9,
      diatonicSteps: -5,
    });
    expect(one({ tracks: [{ name: 'Tromba in re', music }] }).stages[0]!.parts[0]!.transposition).toEqual({
      semitones: 2,
      diatonicSteps: 1,
    });
  });

  it('a pair of E Horns in a classical score are horns in E, one E Horn beside oboes is the cor anglais', () => {
    const classical = one({
      tracks: [
        { name: 'Oboe 1', music: 'C5:0:4' },
        { name: 'E Horn 1', music: 'E4:0:4' },
        { name: 'E Horn 2', music: 'B3:0:4' },
        { name: 'Violin 1', music: 'C5:0:4' },
        { name: 'Cello', music: 'C3:0:4' },
      ],
    });
    expect(part(classical, 'E Horn 1')).toMatchObject({ instrument: 'horn-f', transposition: { semitones: -8 } });
    const late = one({
      tracks: [
        { name: 'Oboe', music: 'C5:0:4' },
        { name: 'E Horn', music: 'E4:0:4' },
        { name: 'Horn in F', music: 'C4:0:4' },
        { name: 'Violins', music: 'C5:0:4' },
      ],
    });
    expect(part(late, 'E Horn').instrument).toBe('cor-anglais');
  });

  it('Bass is the singer after Tenor and the string bass after Cello, in one score', () => {
    const cantata = one({
      tracks: ['Soprano', 'Alto', 'Tenor', 'Bass', 'Violin I', 'Violin II', 'Viola', 'Cello', 'Bass'].map(
        (name, index) => ({
          name,
          music: name === 'Bass' ? 'E3:0:4' : name === 'Cello' || name === 'Tenor' ? 'C3:0:4' : 'G4:0:4',
          channel: index,
        }),
      ),
    });
    expect(cantata.stages[0]!.parts.filter(({ name }) => name === 'Bass').map(({ instrument }) => instrument)).toEqual([
      'voice-bass',
      'double-bass',
    ]);
  });

  it('effects are sound without pitch, said once', () => {
    const cue = one({
      tracks: [
        { name: 'Violins', music: 'C5:0:4' },
        { name: 'Riser', music: 'C2:0:4' },
        { name: 'Sub Drop', music: 'C1:4:4' },
      ],
    });
    expect(part(cue, 'Riser')).toMatchObject({ instrument: 'sound-effect', unpitched: true });
    expect(cue.assumptions.filter((sentence) => sentence.includes('effects'))).toEqual([
      '“Riser” and “Sub Drop” are taken for effects, sound without pitch: no range, no part in the harmony, no level.',
    ]);
    expect(cue.stages[0]!.questions.filter(({ text }) => text.includes('Riser'))).toEqual([]);
  });

  it('the settings have the last word', () => {
    const arrangement = one(
      { tracks: [{ name: 'Flute', music: 'C5:0:4' }] },
      { parts: { flute: { instrument: 'Querflöte', players: 3, name: 'Fl. solo', trim: -2 } } },
    );
    expect(arrangement.stages[0]!.parts[0]).toMatchObject({
      instrument: 'flute',
      recognisedBy: 'settings',
      players: 3,
      playersBy: 'settings',
      name: 'Fl. solo',
      trimDb: -2,
    });
  });

  it('string parts of an orchestra are sections, of a quartet single players', () => {
    const players = (names: readonly string[]): number[] =>
      one({ tracks: names.map((name) => ({ name, music })) }).stages[0]!.parts.map((own) => own.players);
    // Rimsky-Korsakov, Principles of Orchestration, ch. I: small orchestra 8 6 4 3 2-3.
    expect(players(['Flute', 'Violin I', 'Violin II', 'Viola', 'Cello', 'Double Bass'])).toEqual([1, 8, 6, 4, 3, 2]);
    expect(players(['Violin I', 'Violin II', 'Viola', 'Cello'])).toEqual([1, 1, 1, 1]);
    expect(players(['Horns a2', 'Hn 3+4', 'Solo Violin', 'Violins I', 'Cellos'])).toEqual(
      [2, 2, 1, 8, 3].toSorted(() => 0),
    );
  });
});

describe('how many play', () => {
  const players = (names: string): number[] => {
    const tracks = names.split(',').map((name, index) => ({
      name: name.trim(),
      music: /vc|cello|bass/i.test(name) ? 'C3:0:4' : 'C5:0:4',
      channel: index % 9,
    }));
    const { parts } = one({ tracks }).stages[0]!;
    return tracks.map(({ name }) => parts.find((own) => own.tracks.some((track) => track.name === name))?.players ?? 0);
  };

  it('one to a part in a song with strings, in a wind quintet, in a combo', () => {
    expect(players('Voice, Violin, Cello, Piano')).toEqual([1, 1, 1, 1]);
    expect(players('Flute, Oboe, Clarinet, Horn, Bassoon')).toEqual([1, 1, 1, 1, 1]);
    expect(players('Soprano, Violin I, Violin II, Viola, Cello')).toEqual([1, 1, 1, 1, 1]);
  });

  it('two to each numbered voice of the backing singers of a band, a choir where a choir sings', () => {
    const band = players('Voz, Coro 1, Coro 2, Trumpet 1, Trombone, Piano, Bass Guitar, Electric Guitar');
    expect(band.slice(1, 3)).toEqual([2, 2]);
    expect(players('Organ, Choir, Oboe')[1]).toBe(32);
  });

  it('pans of each size are players of their own, though they play at different times', () => {
    const tracks = ['Tenor Pan', 'Guitar Pans', 'Bass Pans'].map((name, index) => ({
      name,
      music: `C4:${String(4 * index)}:4`,
      channel: index,
    }));
    expect(partNames(one({ tracks }))).toEqual(['Tenor Pan', 'Guitar Pans', 'Bass Pans']);
  });

  it('a plural is as many as it says, else a section', () => {
    expect(players('3 Trumpets, Horns a4, Trombones, Flutes, Violins I, Violas')).toEqual([3, 4, 3, 2, 8, 4]);
  });

  it('a bass, a fiddle, a whistle and a violoncelle are one, though they end as plurals do', () => {
    expect(players('Drums, Piano, Tenor Sax, Upright Bass')).toEqual([1, 1, 1, 1]);
    expect(players('Piano, Violon, Violoncelle')).toEqual([1, 1, 1]);
    expect(players('Fiddle, Tin Whistle, Accordion, Guitar')).toEqual([1, 1, 1, 1]);
  });

  it('violins of a band are two or three, and how many is asked (common practice, no source)', () => {
    const MARIACHI = 'Voz, Violines, Trompeta 1, Trompeta 2, Vihuela, Guitarra, Guitarrón';
    expect(players(MARIACHI)).toEqual([1, 3, 1, 1, 1, 1, 1]);
    expect(players(MARIACHI.replace('Violines', 'Violines 1, Violines 2'))).toEqual([1, 2, 2, 1, 1, 1, 1, 1]);
    const stage = one({ tracks: MARIACHI.split(', ').map((name) => ({ name, music: 'C4:0:1' })) }).stages[0];
    expect(stage?.questions.map(({ text }) => text).join()).toContain(
      'How many play “Violines” is not said: by the kind of ensemble 3 are assumed, and levels rest on it.',
    );
  });

  it.each(['Bajo sexto', 'Saz', 'Bass Balalaika', 'Balalaika bass'])(
    '%s is no other instrument that is called nearly so: it is asked which comes near',
    (name) => {
      const stage = one({
        tracks: [
          { name, music: 'C4:0:1', program: 33 },
          { name: 'Violin', music: 'C5:0:1' },
        ],
      }).stages[0];
      expect(stage?.parts.find((own) => own.name === name)?.instrument).toBe('unknown');
      expect(stage?.questions.map(({ text }) => text).join()).toContain('names an instrument that the catalogue lacks');
    },
  );

  it('without low brass trumpets and horns come in pairs, as in the eighteenth century', () => {
    const classical = 'Oboi, Fagotti, Corni, Trombe, Timpani, Violini I, Violini II, Viole, Celli';
    expect(players(classical)).toEqual([2, 2, 2, 2, 1, 8, 6, 4, 3]);
    expect(players(`${classical}, Tromboni`)).toEqual([2, 2, 4, 3, 1, 8, 6, 4, 3, 3]);
  });

  it('a German plural with its key, or without a letter of its own, is as many as it says', () => {
    expect(players('2 Klarinetten in B, 2 Fagotte, 2 Hörner in Es, Violino I, Viole')).toEqual([2, 2, 2, 8, 4]);
  });

  it('the voices of a choir are sections, a soloist is one', () => {
    expect(players('Sopranos, Altos, Tenors, Basses, Soprano solo, Organ')).toEqual([8, 8, 8, 8, 1, 1]);
  });
});

describe('performance', () => {
  it('the pedal of a piano prolongs notes until it is lifted or the key struck again; a flute has none', () => {
    const controllers = [
      { controller: 64, tick: 0, setting: 127 },
      { controller: 64, tick: 480 * 4, setting: 0 },
    ];
    const ends = (name: string): number[] =>
      one({ tracks: [{ name, music: 'C5:0:1 E5:1:1 C5:2:1', controllers }] }).stages[0]!.parts[0]!.notes.map(
        (note) => note.soundingEndSecond,
      );
    expect(ends('Piano')).toEqual([1, 2, 2]);
    expect(ends('Flute')).toEqual([0.5, 1, 1.5]);
  });

  it('a moving controller 1 shapes a sustaining part, velocity a plucked one', () => {
    const controllers = [
      { controller: 1, tick: 0, setting: 40 },
      { controller: 1, tick: 480, setting: 90 },
      { controller: 11, tick: 0, setting: 100 },
    ];
    const by = (name: string): string =>
      one({ tracks: [{ name, music: 'C4:0:4', controllers }] }).stages[0]!.parts[0]!.dynamics;
    expect([by('Viola'), by('Harp')]).toEqual(['cc1', 'velocity']);
    const still = one({ tracks: [{ name: 'Viola', music: 'C4:0:4', controllers: controllers.slice(2) }] }).stages[0]!
      .parts[0]!;
    expect(still.dynamics).toBe('velocity');
    expect(still.tracks[0]!.curves).toEqual([
      { controller: 11, settingBefore: 127, points: [{ quarters: 0, setting: 100 }] },
    ]);
  });
});

describe('foreground', () => {
  const tune = { name: 'Oboe', music: 'C5:0:4 D5:4:4' };
  const bed = { name: 'Cello', music: 'C3:0:8' };

  it('the only part of the first stage stays in front', () => {
    const { stages } = made(rawFolder([rawStage('1 a', { tracks: [bed] }), rawStage('2 b', { tracks: [tune, bed] })]));
    expect(stages[1]!.foreground).toEqual([leadSpan('cello', 1, 2)]);
    expect(stages[1]!.foregroundGuessed).toBe(false);
  });

  it('the settings say it bar by bar', () => {
    const stage = one(
      { tracks: [tune, bed] },
      { foreground: [{ part: 'Cello', bars: { from: 2, to: 2 } }, { part: 'Oboe' }] },
    ).stages[0]!;
    expect(stage.foreground).toEqual([leadSpan('oboe', 1, 1), leadSpan('cello', 2, 2)]);
  });

  it('else the most salient part is guessed, and asked about', () => {
    const stage = one({ tracks: [bed, tune] }).stages[0]!;
    expect(stage.foreground).toMatchObject([{ partId: 'oboe', from: 1, to: 2 }]);
    expect(stage.foreground[0]!.certainty).toBeLessThan(1);
    expect(stage.foregroundGuessed).toBe(true);
    expect(stage.questions.map((question) => question.code)).toContain('foreground-guessed');
  });
});

describe('names and bars that fit nothing', () => {
  const stage = rawStage('01 sketch', { tracks: [{ name: 'Violin I', music: 'C5:0:16' }] });
  const positions = {
    '["parts","Violn I"]': { line: 4, column: 3 },
    '["sections",0,"bars"]': { line: 9, column: 5 },
    '["stages","sketsh"]': { line: 2, column: 3 },
  };
  const withSettings = (content: RawFolder['settings']['content']): RawFolder => ({
    ...rawFolder([stage]),
    settings: { file: 'dossier.yaml', content, positions },
  });

  it('an unknown part names the nearest one, with its place', () => {
    expect(problemsOf(withSettings({ parts: { 'Violn I': { players: 2 } } }))).toEqual([
      expect.objectContaining({
        kind: 'settings',
        file: 'dossier.yaml',
        line: 4,
        column: 3,
        message: expect.stringContaining('“Violin I”') as string,
      }),
    ]);
  });

  it('bars outside the music, unknown stages, instruments and foreground parts are problems', () => {
    const problems = problemsOf(
      withSettings({
        sections: [{ name: 'Coda', bars: { from: 3, to: 9 } }],
        stages: { sketsh: { title: 'x' } },
        parts: { 'Violin I': { instrument: 'vuvuzela-ish thing' } },
        foreground: [{ part: 'Kazoo' }],
        accepted: [{ rule: 'breath', parts: ['Kazoo'], bars: { from: 0, to: 1 }, reason: 'x' }],
      }),
    );
    expect(problems.map((problem) => problem.code).toSorted()).toEqual([
      'bars-out-of-span',
      'bars-out-of-span',
      'unknown-instrument',
      'unknown-part',
      'unknown-part',
      'unknown-stage',
    ]);
    expect(problems.every((problem) => problem.kind === 'settings')).toBe(true);
  });

  it('front matter of a note must name parts, a heading may hold any words', () => {
    const memo = (parts: readonly string[], line: number): RawFolder => ({
      ...rawFolder([stage]),
      memos: [
        {
          file: 'notes.md',
          line: 5,
          heading: 'x',
          markdown: 'x',
          parts: parts.map((content) => ({ content, line, column: 1 })),
          kind: 'remark',
        },
      ],
    });
    expect(problemsOf(memo(['Kazoo'], 2))).toMatchObject([{ kind: 'settings', file: 'notes.md', line: 2 }]);
    expect(made(memo(['strings and the ending'], 5)).memos[0]!.partIds).toEqual(['violin-1']);
    expect(made(memo(['Violin 1'], 2)).memos[0]!.partIds).toEqual(['violin-1']);
  });

  it('a note about a stage may name a part that only the stage before it has', () => {
    const duo = rawStage('01 Duo', {
      tracks: [
        { name: 'Violin', music: 'A4:0 B4:1 C5:2 D5:3', program: 40 },
        { name: 'Trumpet', music: 'C5:0 D5:1 E5:2 F5:3', program: 56 },
      ],
    });
    const solo = rawStage('02 Solo', {
      tracks: [{ name: 'Violin', music: 'A4:0 B4:1 C5:2 D5:3', program: 40 }],
    });
    const about = (stage: string, line: number, ...parts: readonly string[]): RawFolder => ({
      ...rawFolder([duo, solo]),
      memos: [
        {
          file: 'notes.md',
          line: 5,
          heading: 'x',
          markdown: 'x',
          stage: { content: stage, line: 2, column: 1 },
          parts: parts.map((content) => ({ content, line, column: 1 })),
          kind: 'decision',
        },
      ],
    });
    expect(made(about('02 Solo', 3, 'Trumpet')).memos[0]!.partIds).toEqual(['trumpet-bflat']);
    expect(made(about('02 Solo', 5, 'Trumpet out, violin alone')).memos[0]!.partIds).toEqual([
      'violin',
      'trumpet-bflat',
    ]);
    expect(problemsOf(about('02 Solo', 3, 'Horn'))).toMatchObject([{ code: 'unknown-part' }]);
  });
});
