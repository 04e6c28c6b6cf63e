/** `--archive`: every build kept, nothing rewritten, and a story that outlives the exports it was told from. */
import {
  appendFileSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  readFileSync,
  readdirSync,
  renameSync,
  rmSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { createHash } from 'node:crypto';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { buildDossier } from '../../src/build.ts';
import { InputError } from '../../src/problems/problem.ts';
import { midiFile, note, track, trackName } from '../support/midi-bytes.ts';
import { scratchFolder, testEffects } from '../support/effects.ts';

/** Two bars for piano, then with a violin, then with a cello under both. */
const melody = (name: string, ...keys: readonly number[]): number[] =>
  track(trackName(name), ...keys.map((key) => note(key, 480)));
const PIANO = melody('Piano', 60, 62, 64, 65, 67, 65, 64, 62);
const VIOLIN = melody('Violin', 72, 74, 76, 77, 79, 77, 76, 74);
const CELLO = melody('Cello', 48, 50, 52, 53, 55, 53, 52, 50);
const EXPORTS: Readonly<Record<string, Uint8Array>> = {
  '01 Solo sketch.mid': midiFile(1, 480, PIANO),
  '03 Winds.mid': midiFile(1, 480, PIANO, VIOLIN),
  '04 Complete.mid': midiFile(1, 480, PIANO, VIOLIN, CELLO),
};
const EARLY = '01 Solo sketch.mid';
const LATE = '03 Winds.mid';

let folder = '';
const archive = (): string => join(folder, 'dossier-archive');

beforeEach(() => {
  folder = scratchFolder();
  for (const name of [EARLY, LATE]) writeFileSync(join(folder, name), EXPORTS[name]!);
});

const build = () => buildDossier({ folder, singleFile: false, archive: true }, testEffects());

/** Every file under a folder with its hash. */
function hashes(path: string, below = ''): Record<string, string> {
  return Object.fromEntries(
    readdirSync(join(path, below), { withFileTypes: true }).flatMap((entry): [string, string][] => {
      const name = join(below, entry.name);
      if (entry.isDirectory()) return Object.entries(hashes(path, name));
      return [
        [
          name,
          createHash('sha256')
            .update(readFileSync(join(path, name)))
            .digest('hex'),
        ],
      ];
    }),
  );
}

async function refusal(): Promise<string> {
  try {
    await build();
  } catch (error) {
    if (error instanceof InputError) {
      expect(error.problems).toHaveLength(1);
      expect(error.problems[0]!.kind).toBe('usage');
      return error.problems[0]!.message;
    }
    throw error;
  }
  return '';
}

const records = (): string[] => readdirSync(archive()).filter((name) => name.startsWith('build-'));

describe('an archive', () => {
  it('keeps each file under its own SHA-256 and adds nothing where the folder is the same', async () => {
    await build();
    const kept = hashes(archive());
    for (const [name, hash] of Object.entries(kept)) {
      if (name.startsWith('objects')) expect(name).toBe(join('objects', hash));
    }
    const own = hashes(folder);
    expect(Object.values(kept)).toEqual(expect.arrayContaining([own[EARLY], own[LATE], own['dossier/dossier.json']]));
    const dossier = hashes(join(folder, 'dossier'));
    await build();
    expect(hashes(archive())).toEqual(kept);
    expect(hashes(join(folder, 'dossier'))).toEqual(dossier);
  });

  it('shows a stage whose export is gone, and says where it comes from', async () => {
    const before = (await build()).input.stages.map(({ stage }) => stage.title);
    rmSync(join(folder, EARLY));
    const kept = hashes(archive());
    const { input } = await build();
    expect(input.stages.map(({ stage }) => stage.title)).toEqual(before);
    expect(input.changes).toHaveLength(1);
    expect(input.arrangement.problems.find(({ code }) => code === 'from-archive')).toMatchObject({ file: EARLY });
    // What was there stays byte for byte; a record was added.
    expect(hashes(archive())).toMatchObject(kept);
    expect(records()).toHaveLength(2);
    const page = readFileSync(join(folder, 'dossier', 'changes.html'), 'utf8');
    expect(page).toContain(`not in the folder any more: ${EARLY}`);
    // And again the same bytes, now and later.
    const dossier = hashes(join(folder, 'dossier'));
    await build();
    expect(hashes(join(folder, 'dossier'))).toEqual(dossier);
    expect(records()).toHaveLength(2);
  });

  it('a stage that the settings leave out is forgotten, archived or not, and is back without that line', async () => {
    await build();
    rmSync(join(folder, EARLY));
    const titles = (): string[] =>
      (
        JSON.parse(readFileSync(join(folder, 'dossier', 'dossier.json'), 'utf8')) as { stages: { title: string }[] }
      ).stages.map(({ title }) => title);
    writeFileSync(join(folder, 'dossier.yaml'), 'stages: {"01 Solo sketch": {ignore: true}}\n');
    await build();
    expect(titles()).toEqual(['Winds']);
    expect(readFileSync(join(folder, 'dossier', 'index.html'), 'utf8')).not.toContain('of the archive kept it');
    // Without the archive nobody knows that name any more, and nobody minds.
    await buildDossier({ folder, singleFile: false }, testEffects());
    rmSync(join(folder, 'dossier.yaml'));
    await build();
    expect(titles()).toEqual(['Solo sketch', 'Winds']);
  });

  it('a renamed export is not gone, and a build without the archive neither reads nor changes it', async () => {
    await build();
    renameSync(join(folder, EARLY), join(folder, '01 First try.mid'));
    expect((await build()).input.stages).toHaveLength(2);
    const kept = hashes(archive());
    const { input } = await buildDossier({ folder, singleFile: false }, testEffects());
    expect(input.arrangement.files.map(({ path }) => path)).toEqual(['01 First try.mid', LATE]);
    expect(hashes(archive())).toEqual(kept);
  });

  it('a stage that was one file a part comes back whole', async () => {
    mkdirSync(join(folder, '02 Parts'));
    copyFileSync(join(folder, EARLY), join(folder, '02 Parts', 'Piano.mid'));
    appendFileSync(join(folder, '02 Parts', 'Piano.mid'), '\0');
    await build();
    rmSync(join(folder, '02 Parts'), { recursive: true });
    const { input } = await build();
    expect(input.stages).toHaveLength(3);
    expect(input.arrangement.files.map(({ path }) => path)).toContain('02 Parts/Piano.mid');
  });
});

describe('an archive that was tampered with is refused in one sentence, and nothing is built', () => {
  beforeEach(async () => {
    await build();
    rmSync(join(folder, LATE));
    writeFileSync(join(folder, '04 Complete.mid'), EXPORTS['04 Complete.mid']!);
    await build();
  });

  it.each([
    [
      'an edited record',
      () => {
        appendFileSync(join(archive(), records()[0]!), ' ');
      },
      'was changed or cut short',
    ],
    [
      'a truncated record',
      () => {
        truncateSync(join(archive(), records()[1]!), 100);
      },
      'was changed or cut short',
    ],
    [
      'an empty record',
      () => {
        truncateSync(join(archive(), records()[0]!), 0);
      },
      'was changed or cut short',
    ],
    [
      'a missing record',
      () => {
        rmSync(join(archive(), records()[0]!));
      },
      'does not follow the record before it',
    ],
    [
      'another marker',
      () => {
        writeFileSync(join(archive(), '.arrangement-dossier-archive'), 'somebody else');
      },
      'is not an archive of this version',
    ],
    [
      'a file in place of the folder',
      () => {
        rmSync(archive(), { recursive: true });
        writeFileSync(archive(), 'x');
      },
      'is not a folder',
    ],
    [
      'a foreign folder',
      () => {
        rmSync(archive(), { recursive: true });
        mkdirSync(archive());
        writeFileSync(join(archive(), 'letters.txt'), 'private');
      },
      'is not an archive of this version',
    ],
    [
      'a lost file',
      () => {
        rmSync(join(archive(), 'objects'), { recursive: true });
      },
      'has lost a file of build 1',
    ],
    [
      'an exchanged file',
      () => {
        const own = createHash('sha256').update(EXPORTS[LATE]!).digest('hex');
        writeFileSync(join(archive(), 'objects', own), EXPORTS[EARLY]!);
      },
      'was changed or cut short',
    ],
  ])('%s', async (_, damage, sentence) => {
    damage();
    const before = hashes(folder);
    expect(await refusal()).toContain(sentence);
    expect(hashes(folder)).toEqual(before);
  });

  it('a record with paths that leave the folder is refused, hash or not', async () => {
    const name = records()[1]!;
    const record = JSON.parse(readFileSync(join(archive(), name), 'utf8')) as { files: { path: string }[] };
    record.files[0]!.path = '../../escape.mid';
    const text = `${JSON.stringify(record, undefined, 1)}\n`;
    rmSync(join(archive(), name));
    const hash = createHash('sha256').update(text).digest('hex');
    writeFileSync(join(archive(), `build-0002-${hash.slice(0, 16)}.json`), text);
    expect(await refusal()).toContain('was changed or cut short');
  });

  it('a link in place of a record or of the files is not followed', async () => {
    const target = join(scratchFolder(), 'objects');
    renameSync(join(archive(), 'objects'), target);
    mkdirSync(join(archive(), 'objects'));
    for (const name of readdirSync(target)) symlinkSync(join(target, name), join(archive(), 'objects', name));
    expect(await refusal()).toContain('has lost a file');
  });
});

describe('writing', () => {
  it('a disk that fails while the build is kept leaves the archive as it was and says so', async () => {
    await build();
    const kept = hashes(archive());
    rmSync(join(folder, EARLY));
    const effects = testEffects();
    const failing = testEffects({
      rename: (from, to) =>
        to.includes('build-0002') ? Promise.reject(new Error('no space left')) : effects.disk.rename(from, to),
    });
    await expect(buildDossier({ folder, singleFile: false, archive: true }, failing)).rejects.toThrow(
      'What it held before is untouched',
    );
    expect(hashes(archive())).toMatchObject(kept);
    expect(records().filter((name) => name.endsWith('.json'))).toHaveLength(1);
    // The next build goes on from there.
    await build();
    expect(records().filter((name) => name.endsWith('.json'))).toHaveLength(2);
    expect(existsSync(join(folder, 'dossier', 'index.html'))).toBe(true);
  });
});
