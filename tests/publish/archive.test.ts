/** Archives as they fare in the world: changed, emptied, copied into one another, written by two at once. */
import {
  appendFileSync,
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { InputError } from '../../src/problems/problem.ts';
import { scratchFolder } from '../support/effects.ts';
import {
  archiveOf,
  DUO,
  faultsIn,
  hashesUnder,
  keepFolder,
  recordsIn,
  sha256,
  sketch,
  SOLO,
  writeExports,
  type Kept,
} from '../support/kept-folder.ts';

const scratch = scratchFolder();
let count = 0;
let folder = '';
let archive = '';

beforeEach(() => {
  count += 1;
  folder = join(scratch, `piece-${String(count)}`);
  archive = archiveOf(folder);
  writeExports(folder, { '01 Solo.mid': SOLO, '02 Duo.mid': DUO });
});

const titles = ({ input }: Kept): readonly string[] => input.stages.map(({ stage }) => stage.title);
const codes = ({ problems }: Kept): readonly string[] => problems.map(({ code }) => code);

function sentence(kept: Kept, code: string): string {
  const found = kept.problems.filter((problem) => problem.code === code);
  expect(
    found.map(({ message }) => message),
    code,
  ).toHaveLength(1);
  return found[0]?.message ?? '';
}

/** The records that no other follows. */
function tips(): readonly string[] {
  const records = recordsIn(archive);
  const followed = new Set([...records.values()].flatMap(({ parents }) => parents));
  return [...records.keys()].filter((hash) => !followed.has(hash));
}

async function refusal(): Promise<string> {
  const error = await keepFolder(folder).then(
    () => undefined,
    (reason: unknown) => reason,
  );
  if (!(error instanceof InputError)) throw new Error('it was not refused');
  return error.problems.map(({ message }) => message).join(' ');
}

describe('an archive', () => {
  it('takes every name that a disk takes, and reads its own record of it', async () => {
    writeExports(folder, { '03 Reprise: “slow”.mid': SOLO, '04 Am\\Steg.mid': sketch(50, 53) });
    await keepFolder(folder);
    rmSync(join(folder, '04 Am\\Steg.mid'));
    rmSync(join(folder, '03 Reprise: “slow”.mid'));
    const again = await keepFolder(folder);
    expect(titles(again)).toEqual(['01 Solo', '02 Duo', '03 Reprise: “slow”', '04 Am\\Steg']);
    expect(codes(again)).toEqual(['from-archive', 'from-archive']);
    expect(recordsIn(archive).size).toBe(2);
  });

  it('keeps the whole after one stage of the same folder, each once', async () => {
    await keepFolder(folder, undefined, 1);
    const whole = await keepFolder(folder);
    expect(whole.input.history?.map(({ stages }) => stages.length)).toEqual([1, 2]);
    await keepFolder(folder);
    expect(recordsIn(archive).size).toBe(2);
  });

  it('shows an export that was overwritten by an empty file, or by a file without notes', async () => {
    await keepFolder(folder);
    truncateSync(join(folder, '01 Solo.mid'), 0);
    const emptied = await keepFolder(folder);
    expect(titles(emptied)).toEqual(['01 Solo', '02 Duo']);
    expect(sentence(emptied, 'from-archive')).toMatch(/^Nothing can be read from this file any more; .* build 1 /);
    // It is no export, so that the record of this build has only the other.
    expect([...recordsIn(archive).values()].map(({ files }) => files.length).sort()).toEqual([1, 2]);
    writeFileSync(join(folder, '01 Solo.mid'), sketch());
    const silent = await keepFolder(folder);
    expect(titles(silent)).toEqual(['01 Solo', '02 Duo']);
    expect(codes(silent)).toEqual(['from-archive']);
  });

  it('shows an export that is emptied or gone also where another stage has the same bytes and had them before', async () => {
    writeExports(folder, { '03 Again.mid': SOLO });
    await keepFolder(folder);
    truncateSync(join(folder, '03 Again.mid'), 0);
    expect(titles(await keepFolder(folder))).toEqual(['01 Solo', '02 Duo', '03 Again']);
    rmSync(join(folder, '03 Again.mid'));
    expect(titles(await keepFolder(folder))).toEqual(['01 Solo', '02 Duo', '03 Again']);
    writeExports(folder, { '04 Renamed.mid': SOLO });
    expect(titles(await keepFolder(folder))).toEqual(['01 Solo', '02 Duo', '04 Renamed']);
  });

  it('shows the part of a stage in several files that was emptied, and not one that was taken out', async () => {
    writeExports(join(folder, '03 Parts'), {
      'Flute.mid': sketch(72, 74),
      'Oboe.mid': sketch(67, 69),
      'Harp.mid': SOLO,
    });
    await keepFolder(folder);
    truncateSync(join(folder, '03 Parts', 'Flute.mid'), 0);
    rmSync(join(folder, '03 Parts', 'Oboe.mid'));
    const { problems } = await keepFolder(folder);
    expect(problems.map(({ code, file }) => [code, file])).toEqual([['from-archive', '03 Parts/Flute.mid']]);
  });
});

describe('a damaged archive is told of, mended where the bytes are at hand, and never locked', () => {
  const object = (bytes: Uint8Array): string => join(archive, 'objects', sha256(bytes));

  beforeEach(async () => {
    await keepFolder(folder);
  });

  it.each([
    [
      'emptied',
      (path: string) => {
        truncateSync(path, 0);
      },
      'is empty',
    ],
    [
      'cut short',
      (path: string) => {
        truncateSync(path, 20);
      },
      'was changed or cut short',
    ],
    [
      'changed',
      (path: string) => {
        appendFileSync(path, 'x');
      },
      'was changed or cut short',
    ],
    [
      'missing',
      (path: string) => {
        rmSync(path);
      },
      'is missing',
    ],
    [
      'replaced by a link',
      (path: string) => {
        rmSync(path);
        symlinkSync(join(folder, '01 Solo.mid'), path);
      },
      'was changed',
    ],
  ])('a kept file that is %s', async (_, damage, what) => {
    damage(object(SOLO));
    const told = sentence(await keepFolder(folder), 'archive-mended');
    expect(told).toContain(`“01 Solo.mid” of build 1, which ${what}`);
    expect(faultsIn(archive)).toEqual([]);
    expect(codes(await keepFolder(folder))).toEqual([]);
  });

  it('a kept file that is nowhere else any more', async () => {
    rmSync(join(folder, '01 Solo.mid'));
    truncateSync(object(SOLO), 0);
    const kept = await keepFolder(folder);
    expect(titles(kept)).toEqual(['02 Duo']);
    expect(sentence(kept, 'archive-file-damaged')).toContain('“01 Solo.mid” of build 1, which is empty');
    expect(kept.problems.find(({ code }) => code === 'lost-in-archive')?.file).toBe('01 Solo.mid');
    // A copy turns up.
    writeExports(folder, { 'copy.mid': SOLO });
    expect(codes(await keepFolder(folder))).toContain('archive-mended');
    expect(faultsIn(archive)).toEqual([]);
  });

  it('a stage whose last export is damaged is shown as the build before kept it', async () => {
    const second = sketch(61, 63);
    writeExports(folder, { '01 Solo.mid': second });
    await keepFolder(folder);
    rmSync(join(folder, '01 Solo.mid'));
    rmSync(object(second));
    const kept = await keepFolder(folder);
    expect(titles(kept)).toEqual(['01 Solo', '02 Duo']);
    expect(sentence(kept, 'from-archive')).toContain('build 1 of the archive');
  });

  it('a dossier.json that was changed, and all files at once', async () => {
    rmSync(join(archive, 'objects'), { recursive: true });
    const kept = await keepFolder(folder);
    expect(sentence(kept, 'archive-mended')).toMatch(/^3 files of the archive .*dossier\.json of build 1/);
    expect(faultsIn(archive)).toEqual([]);
  });

  it.each([
    [
      'edited',
      (path: string) => {
        appendFileSync(path, ' ');
      },
    ],
    [
      'cut short',
      (path: string) => {
        truncateSync(path, 100);
      },
    ],
    [
      'emptied',
      (path: string) => {
        truncateSync(path, 0);
      },
    ],
  ])('a record that was %s', async (_, damage) => {
    const first = tips()[0]!;
    writeExports(folder, { '03 Trio.mid': sketch(40, 44) });
    await keepFolder(folder);
    damage(join(archive, 'records', `${first}.json`));
    writeExports(folder, { '04 Quartet.mid': sketch(41, 45) });
    const kept = await keepFolder(folder);
    expect(sentence(kept, 'archive-record-damaged')).toContain(`records/${first}.json`);
    expect(titles(kept)).toHaveLength(4);
    expect(kept.input.history).toHaveLength(2);
  });

  it('a record that is missing in the middle, and a last one that the head still names', async () => {
    const first = tips()[0]!;
    writeExports(folder, { '03 Trio.mid': sketch(40, 44) });
    await keepFolder(folder);
    const second = tips()[0]!;
    writeExports(folder, { '04 Quartet.mid': sketch(41, 45) });
    await keepFolder(folder);
    const last = tips().find((hash) => hash !== second)!;
    const away = join(scratch, `away-${String(count)}`);
    mkdirSync(away);
    for (const hash of [second, last]) renameSync(join(archive, 'records', `${hash}.json`), join(away, hash));
    writeExports(folder, { '05 Quintet.mid': sketch(42, 46) });
    expect(sentence(await keepFolder(folder), 'archive-last-missing')).toContain(`records/${last.slice(0, 12)}`);
    // They come back, as when a synchronised folder was late.
    renameSync(join(away, last), join(archive, 'records', `${last}.json`));
    expect(sentence(await keepFolder(folder), 'archive-build-missing')).toContain(second.slice(0, 12));
    renameSync(join(away, second), join(archive, 'records', `${second}.json`));
    expect(codes(await keepFolder(folder))).toEqual([]);
    expect(faultsIn(archive)).toEqual([]);
    expect(tips()).toHaveLength(1);
    expect([...recordsIn(archive).keys()]).toEqual(expect.arrayContaining([first, second, last]));
  });

  it('a marker and a head that were lost or emptied', async () => {
    rmSync(join(archive, '.arrangement-dossier-archive'));
    truncateSync(join(archive, 'head.json'), 0);
    expect(codes(await keepFolder(folder))).toEqual(['archive-head-damaged']);
    truncateSync(join(archive, '.arrangement-dossier-archive'), 0);
    rmSync(join(archive, 'head.json'));
    expect(codes(await keepFolder(folder))).toEqual([]);
    expect(JSON.parse(readFileSync(join(archive, 'head.json'), 'utf8'))).toEqual({ records: tips() });
  });

  it('a record with paths that leave the folder is no record, hash or not', async () => {
    const [hash, record] = [...recordsIn(archive)][0]!;
    const text = JSON.stringify({ ...record, files: [{ ...record.files[0], path: '../../escape.mid' }] });
    rmSync(join(archive, 'records', `${hash}.json`));
    writeFileSync(join(archive, 'records', `${sha256(text)}.json`), text);
    expect(codes(await keepFolder(folder))).toContain('archive-record-damaged');
  });
});

describe('what is no archive is refused in one sentence and left as it is', () => {
  it.each([
    [
      'a file',
      () => {
        writeFileSync(archive, 'x');
      },
      'is not a folder',
    ],
    [
      'a folder of somebody',
      () => {
        mkdirSync(archive);
        writeFileSync(join(archive, 'letters.txt'), 'x');
      },
      'is not an archive',
    ],
    [
      'an archive of a later version',
      () => {
        mkdirSync(archive);
        writeFileSync(join(archive, '.arrangement-dossier-archive'), 'arrangement-dossier archive 99');
      },
      'is not an archive of this version',
    ],
  ])('%s', async (_, make, words) => {
    make();
    const before = hashesUnder(folder);
    expect(await refusal()).toContain(words);
    expect(hashesUnder(folder)).toEqual(before);
  });
});

describe('an archive that grew apart', () => {
  /** The folder as a second machine has it, with one more export of its own. */
  async function elsewhere(name: string, ...keys: readonly number[]): Promise<string> {
    const other = join(scratch, `${name}-${String(count)}`);
    cpSync(folder, other, { recursive: true });
    writeExports(other, { [`${name}.mid`]: sketch(...keys) });
    await keepFolder(other);
    return other;
  }

  it('on two machines, with a synchronised folder that keeps both of two files under two names, is told and joined', async () => {
    await keepFolder(folder);
    const other = await elsewhere('03 Theirs', 55, 57);
    writeExports(folder, { '03 Ours.mid': sketch(48, 50) });
    await keepFolder(folder);
    for (const path of Object.keys(hashesUnder(archiveOf(other)))) {
      const mine = join(archive, path);
      const [stem = '', extension = ''] = /^(.*?)(\.[a-z]+)?$/.exec(mine)?.slice(1) ?? [];
      cpSync(
        join(archiveOf(other), path),
        existsSync(mine) ? `${stem} (conflicted copy 2031-05-04)${extension}` : mine,
      );
    }
    const joined = await keepFolder(folder);
    expect(sentence(joined, 'archive-fork')).toMatch(
      /build 2 and build 3, as when .*: both are kept, and build 4 follows both\.$/,
    );
    expect(titles(joined)).toEqual(['01 Solo', '02 Duo', '03 Ours', '03 Theirs']);
    expect(joined.input.history?.map(({ follows }) => follows)).toEqual([[], [1], [1], [2, 3]]);
    expect(recordsIn(archive).size).toBe(4);
    expect(tips()).toHaveLength(1);
    expect(faultsIn(archive).filter((fault) => !fault.includes('conflicted'))).toEqual([]);
    expect(readdirSync(archive).filter((name) => name.startsWith('head'))).toEqual(['head.json']);
    expect(codes(await keepFolder(folder))).toEqual(['from-archive']);
    // The other machine gets all of it back and goes on as well.
    cpSync(archive, archiveOf(other), { recursive: true });
    expect(codes(await keepFolder(other))).not.toContain('archive-fork');
  });

  it('before it had a build in common is joined all the same, three ways', async () => {
    const others = [await elsewhere('03 A', 55), await elsewhere('03 B', 57)];
    await keepFolder(folder);
    for (const other of others) cpSync(archiveOf(other), archive, { recursive: true });
    const joined = await keepFolder(folder);
    expect(sentence(joined, 'archive-fork')).toContain('all are kept, and build 4 follows all.');
    expect(titles(joined)).toEqual(['01 Solo', '02 Duo', '03 A', '03 B']);
    expect(faultsIn(archive)).toEqual([]);
  });

  it('by two and by six builds at once, of one folder and of folders that differ, is whole', async () => {
    await Promise.all([keepFolder(folder), keepFolder(folder)]);
    expect(recordsIn(archive).size).toBe(1);
    await Promise.all(
      [1, 2, 3, 4, 5, 6].map(async (key) => {
        const copy = join(scratch, `at-once-${String(count)}-${String(key)}`);
        mkdirSync(copy);
        symlinkSync(archive, archiveOf(copy));
        writeExports(copy, { '01 Solo.mid': sketch(60 + key) });
        await keepFolder(copy);
      }),
    );
    expect(recordsIn(archive).size).toBe(7);
    const joined = await keepFolder(folder);
    expect(codes(joined)).toEqual(['archive-fork']);
    expect(tips()).toHaveLength(1);
    expect(faultsIn(archive)).toEqual([]);
    expect(readdirSync(archive, { recursive: true }).filter((name) => String(name).endsWith('.part'))).toEqual([]);
  });
});

describe('an archive of numbered records, as earlier versions wrote it,', () => {
  /** The record `build-NUMBER-HASH.json` of one file, with its objects. */
  function writeEarlier(number: number, previous: string | null, path: string, bytes: Uint8Array): string {
    const dossier = `{"number":${String(number)}}`;
    const stage = { title: path, bars: 1, parts: 1, seconds: 2.5, findings: { fix: 0, look: 1, note: 2 } };
    const files = [{ path, sha256: sha256(bytes), use: 'stage' }];
    const content = { number, previous, title: 'Piece', date: null, files, stages: [stage], dossier: sha256(dossier) };
    const text = JSON.stringify({ format: 'arrangement-dossier-archive/1', ...content });
    mkdirSync(join(archive, 'objects'), { recursive: true });
    writeFileSync(join(archive, '.arrangement-dossier-archive'), 'arrangement-dossier archive 1\n');
    for (const object of [bytes, Buffer.from(dossier)]) writeFileSync(join(archive, 'objects', sha256(object)), object);
    const name = `build-${String(number).padStart(4, '0')}-${sha256(text).slice(0, 16)}.json`;
    writeFileSync(join(archive, name), text);
    return sha256(text);
  }

  it('is read and carried on, and none of its files is touched', async () => {
    const first = writeEarlier(1, null, '00 First try.mid', sketch(30, 32));
    const second = writeEarlier(2, first, '01 Solo.mid', SOLO);
    const before = hashesUnder(join(archive, 'objects'));
    const kept = await keepFolder(folder);
    expect(titles(kept)).toEqual(['00 First try', '01 Solo', '02 Duo']);
    expect(codes(kept)).toEqual(['from-archive']);
    expect([...recordsIn(archive).values()].map(({ parents }) => parents)).toEqual([[second]]);
    expect(hashesUnder(join(archive, 'objects'))).toMatchObject(before);
    expect((await keepFolder(folder)).input.history?.map(({ follows }) => follows)).toEqual([[], [1], [2]]);
  });

  it('with two records of one number, which locked it, is open again', async () => {
    const first = writeEarlier(1, null, '00 First try.mid', sketch(30, 32));
    const twins = [writeEarlier(2, first, '01 Solo.mid', SOLO), writeEarlier(2, first, '02 Duo.mid', DUO)];
    expect(codes(await keepFolder(folder))).toEqual(['from-archive', 'archive-fork']);
    expect([...recordsIn(archive).values()][0]?.parents).toEqual(twins.sort());
  });
});
