import { describe, expect, it } from 'vitest';
import { InputError } from '../../src/problems/problem.ts';
import { compareNaturally } from '../../src/read/natural-order.ts';
import type { RawFolder } from '../../src/read/raw.ts';
import { readFolder } from '../../src/read/read-folder.ts';
import type { MemoryEntry } from '../support/memory-disk.ts';
import { memoryDisk } from '../support/memory-disk.ts';
import { midiFile, note, smallPiece, tempo, track } from '../support/midi-bytes.ts';

const oboe = midiFile(0, 96, track(note(72, 96)));
const conductor = midiFile(0, 480, track(tempo(700_000)));

function read(entries: Readonly<Record<string, MemoryEntry>>, ignore: readonly string[] = []): Promise<RawFolder> {
  const inFolder = Object.entries(entries).map(([path, entry]) => [`/piece/${path}`, entry] as const);
  return readFolder('/piece', memoryDisk({ '/elsewhere/far.mid': oboe, ...Object.fromEntries(inFolder) }), { ignore });
}

function codesOf(folder: RawFolder): readonly string[] {
  return folder.problems.map(({ code, file }) => `${code} ${file}`.trim());
}

describe('natural order of names', () => {
  it('counts numbers by value', () => {
    expect(['10 b', '2 a', '1 c', '002 a', 'a10', 'a9', 'B', 'a'].sort(compareNaturally)).toEqual([
      '1 c',
      '002 a',
      '2 a',
      '10 b',
      'a',
      'a9',
      'a10',
      'B',
    ]);
  });

  it('compares numbers too large for floating point', () => {
    const long = '9'.repeat(400);
    expect(compareNaturally(`${long}8`, `${long}9`)).toBeLessThan(0);
    expect(compareNaturally(`1${long}`, long)).toBeGreaterThan(0);
  });
});

describe('stages', () => {
  it('are the MIDI files at the top and the subfolders of MIDI files, in natural order', async () => {
    const folder = await read({
      '10 brass.mid': oboe,
      '2 strings/vn.mid': oboe,
      '2 strings/tempo.mid': conductor,
      '1 sketch.MIDI': oboe,
      '3 winds.smf': smallPiece(),
      'score.pdf': 'x',
    });
    expect(folder.stages.map(({ name, isFolder, files }) => [name, isFolder, files.map(({ path }) => path)])).toEqual([
      ['1 sketch', false, ['1 sketch.MIDI']],
      ['2 strings', true, ['2 strings/tempo.mid', '2 strings/vn.mid']],
      ['3 winds', false, ['3 winds.smf']],
      ['10 brass', false, ['10 brass.mid']],
    ]);
    expect(codesOf(folder)).toEqual([]);
    expect(folder.files.map(({ path, use }) => [path, use])).toEqual([
      ['1 sketch.MIDI', 'stage'],
      ['2 strings/tempo.mid', 'stage'],
      ['2 strings/vn.mid', 'stage'],
      ['3 winds.smf', 'stage'],
      ['10 brass.mid', 'stage'],
      ['score.pdf', 'not used'],
    ]);
  });

  it('are not made of an earlier dossier, of hidden folders or of what is to be ignored', async () => {
    const folder = await read(
      {
        'a.mid': oboe,
        'dossier/old.mid': oboe,
        'earlier/.arrangement-dossier': '',
        'earlier/old.mid': oboe,
        '.trash/old.mid': oboe,
        'node_modules/x/old.mid': oboe,
        'output/old.mid': oboe,
        '._a.mid': 'resource fork',
      },
      ['/piece/output'],
    );
    expect(folder.stages.map(({ name }) => name)).toEqual(['a']);
    expect(folder.files.map(({ path }) => path)).toEqual(['a.mid']);
  });

  it('carry the SHA-256 of their bytes', async () => {
    // FIPS 180-4 test vector: the hash of "abc".
    const { files } = await read({ 'a.mid': oboe, 'abc.md': 'abc' });
    expect(files.find(({ path }) => path === 'abc.md')?.sha256).toBe(
      'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad',
    );
  });

  it('one bad file never sinks a good folder', async () => {
    const folder = await read({
      'good.mid': oboe,
      'bad.mid': 'not MIDI at all',
      'empty.mid': '',
      'locked.mid': { unreadable: true },
      'large.mid': { bytes: 900_000_000 },
      'silent.mid': conductor,
    });
    expect(folder.stages.map(({ name }) => name)).toEqual(['good']);
    expect(folder.problems.every(({ kind }) => kind === 'refused')).toBe(true);
    expect(codesOf(folder).toSorted()).toEqual([
      'empty-file empty.mid',
      'no-notes silent.mid',
      'not-midi bad.mid',
      'too-large large.mid',
      'unreadable-file locked.mid',
    ]);
  });
});

describe('links', () => {
  it('to files inside the folder are followed, all others are not', async () => {
    const folder = await read({
      'a.mid': oboe,
      'again.mid': { link: 'a.mid' },
      'out.mid': { link: '/elsewhere/far.mid' },
      'up.mid': { link: '../elsewhere/far.mid' },
      'broken.mid': { link: 'nothing.mid' },
      'loop.mid': { link: 'loop.mid' },
      loop: { link: '.' },
    });
    expect(folder.stages.map(({ name }) => name)).toEqual(['a', 'again']);
    // One remark for links of a kind, each of them named.
    const remarks = folder.problems.filter(({ code }) => code === 'link-not-followed').map(({ message }) => message);
    expect(remarks).toHaveLength(2);
    for (const name of ['broken.mid', 'loop', 'loop.mid', 'out.mid', 'up.mid']) {
      expect(
        remarks.filter((message) => message.includes(`“${name}”`)),
        name,
      ).toHaveLength(1);
    }
    expect(folder.files.find(({ path }) => path === 'out.mid')).toEqual({
      path: 'out.mid',
      sha256: '',
      use: 'not used',
    });
  });
});

describe('many links that lead nowhere', () => {
  it('are one remark with their number; a single one has its name', async () => {
    const dangling = Object.fromEntries(
      Array.from({ length: 40 }, (_, index) => [`${index}.mid`, { link: 'nothing.mid' }] as const),
    );
    const many = await read({ 'a.mid': oboe, ...dangling });
    expect(many.problems).toHaveLength(1);
    expect(many.problems[0]?.message).toContain(
      '40 links lead nowhere and were not followed (“0.mid”, “1.mid”, “2.mid” and 37 more)',
    );
    const one = await read({ 'a.mid': oboe, 'b.mid': { link: 'nothing.mid' } });
    expect(one.problems).toMatchObject([{ code: 'link-not-followed', file: 'b.mid' }]);
  });
});

describe('a folder that nobody may look into', () => {
  it('is called that, and not a thing that is no folder', async () => {
    const disk = {
      ...memoryDisk({ '/in/a.mid': oboe }),
      status: () => Promise.resolve({ kind: 'other' as const, bytes: 0 }),
      list: () => Promise.reject(Object.assign(new Error('EACCES: permission denied'), { code: 'EACCES' })),
    };
    await expect(readFolder('/in', disk, { ignore: [] })).rejects.toMatchObject({
      problems: [
        { kind: 'usage', code: 'folder-denied', message: expect.stringContaining('permission was denied') as string },
      ],
    });
  });
});

describe('notes and settings', () => {
  it('are found at the top and in the folders of stages', async () => {
    const folder = await read({
      'a.mid': oboe,
      'b/vn.mid': oboe,
      'b/why.md': 'Because.',
      'readme.md': 'All.',
      'ideas/later.md': 'Later.',
      'dossier.yaml': 'title: Evening',
      'b/dossier.yaml': 'title: Not this one',
    });
    expect(folder.memos.map(({ file, stage }) => [file, stage?.content])).toEqual([
      ['b/why.md', 'b'],
      ['ideas/later.md', undefined],
      ['readme.md', undefined],
    ]);
    expect(folder.settings.content).toEqual({ title: 'Evening' });
    expect(folder.settings.file).toBe('dossier.yaml');
  });

  it('two files of settings are one too many', async () => {
    const folder = await read({ 'a.mid': oboe, 'dossier.yaml': '', 'dossier.yml': '' });
    expect(folder.problems).toMatchObject([{ kind: 'settings', code: 'two-settings' }]);
  });
});

describe('a folder that gives nothing', () => {
  it('says what was looked for and why each file is not used', async () => {
    const folder = await read({ 'song.musicxml': '<x/>', 'take.wav': 'RIFF', 'bad.mid': 'x' });
    expect(folder.stages).toEqual([]);
    expect(codesOf(folder)).toEqual([
      'not-midi bad.mid',
      'nothing-found',
      'not-used song.musicxml',
      'not-used take.wav',
    ]);
  });

  it('is said to be missing, or not to be a folder', async () => {
    await expect(readFolder('/nowhere', memoryDisk({}), { ignore: [] })).rejects.toThrow(/no folder “\/nowhere”/);
    await expect(readFolder('/a.mid', memoryDisk({ '/a.mid': oboe }), { ignore: [] })).rejects.toThrow(/not a folder/);
    await expect(readFolder('/nowhere', memoryDisk({}), { ignore: [] })).rejects.toBeInstanceOf(InputError);
  });

  it('with more files than anyone keeps is cut short in one sentence', async () => {
    const many = Object.fromEntries(Array.from({ length: 2500 }, (_, index) => [`f${index}.txt`, 'x']));
    const folder = await read({ ...many, 'a.mid': oboe });
    expect(folder.files.length).toBe(2000);
    expect(folder.stages).toHaveLength(1);
    expect(codesOf(folder)).toEqual(['too-many-files']);
  });
});
