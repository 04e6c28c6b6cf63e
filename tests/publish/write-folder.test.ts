import {
  chmodSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { OUTPUT_MARKER as MARKER } from '../../src/model/output-marker.ts';
import { InputError } from '../../src/problems/problem.ts';
import { publishDossier } from '../../src/publish/publish-dossier.ts';
import { writeFolder } from '../../src/publish/write-folder.ts';
import { scratchFolder, testEffects } from '../support/effects.ts';
import { smallDossier } from '../support/published.ts';
import { nodeDisk } from '../../src/node-effects.ts';

const scratch = scratchFolder();
let count = 0;
let parent = '';
let folder = '';

beforeEach(() => {
  count += 1;
  parent = join(scratch, `case-${String(count)}`);
  folder = join(parent, 'dossier');
  mkdirSync(parent);
});

const OLD = [{ path: 'index.html', content: () => 'old' }];
const NEW = [
  { path: 'index.html', content: () => 'new' },
  { path: 'tables/a.csv', content: () => 'a' },
];

function textOf(path: string): string {
  return readFileSync(join(folder, path), 'utf8');
}

/** All files below the parent, so that a forgotten temporary folder shows. */
function everything(): string[] {
  return readdirSync(parent, { recursive: true, withFileTypes: true })
    .filter((entry) => !entry.isDirectory())
    .map((entry) => join(entry.parentPath, entry.name).slice(parent.length + 1))
    .sort();
}

async function refusal(action: Promise<unknown>): Promise<InputError> {
  try {
    await action;
  } catch (error) {
    if (error instanceof InputError) return error;
    throw error;
  }
  throw new Error('it was not refused');
}

describe('writing a dossier', () => {
  it('makes the folder, and the folders above it, with a marker', async () => {
    await writeFolder(NEW, join(folder, 'deep', 'out'), testEffects());
    expect(everything()).toEqual([
      `dossier/deep/out/${MARKER}`,
      'dossier/deep/out/index.html',
      'dossier/deep/out/tables/a.csv',
    ]);
  });

  it('replaces an older dossier whole: files that are no longer made are gone, and nothing is left beside it', async () => {
    await writeFolder(NEW, folder, testEffects());
    await writeFolder(OLD, folder, testEffects());
    expect(everything()).toEqual([`dossier/${MARKER}`, 'dossier/index.html']);
    expect(textOf('index.html')).toBe('old');
  });

  it('takes an empty folder', async () => {
    mkdirSync(folder);
    await writeFolder(OLD, folder, testEffects());
    expect(textOf('index.html')).toBe('old');
  });

  it('keeps what somebody else put into the dossier', async () => {
    await writeFolder(OLD, folder, testEffects());
    mkdirSync(join(folder, 'mine'));
    writeFileSync(join(folder, 'mine', 'letter.txt'), 'kept');
    await writeFolder(NEW, folder, testEffects());
    expect(textOf('index.html')).toBe('new');
    expect(textOf('mine/letter.txt')).toBe('kept');
    await writeFolder(OLD, folder, testEffects());
    expect(textOf('mine/letter.txt')).toBe('kept');
  });

  it.each([
    ['a file in the place of one of ours', 'tables/a.csv', 'tables/a.csv'],
    ['a file in the place of a folder of ours', 'tables', 'tables'],
    ['a folder in the place of a file of ours', 'tables/a.csv/mine.txt', 'tables/a.csv'],
  ])('refuses %s, names it, and changes nothing', async (_, mine, named) => {
    await writeFolder(OLD, folder, testEffects());
    mkdirSync(dirname(join(folder, mine)), { recursive: true });
    writeFileSync(join(folder, mine), 'mine');
    const before = everything();
    const error = await refusal(writeFolder(NEW, folder, testEffects()));
    expect(error.message).toContain(`holds “${named}”, which this program did not write`);
    expect(everything()).toEqual(before);
    expect(textOf('index.html')).toBe('old');
    expect(textOf(mine)).toBe('mine');
  });

  it('does not follow a link that somebody put in the place of one of its folders', async () => {
    await writeFolder(NEW, folder, testEffects());
    const elsewhere = join(parent, 'elsewhere');
    renameSync(join(folder, 'tables'), elsewhere);
    symlinkSync(elsewhere, join(folder, 'tables'));
    await refusal(writeFolder(NEW, folder, testEffects()));
    await writeFolder(OLD, folder, testEffects());
    expect(readFileSync(join(elsewhere, 'a.csv'), 'utf8')).toBe('a');
  });

  it('leaves the folder itself where it is, with its mode and whatever else is in it', async () => {
    await writeFolder(OLD, folder, testEffects());
    mkdirSync(join(folder, 'mine'));
    chmodSync(folder, 0o2770);
    const before = [statSync(folder), statSync(join(folder, 'mine'))];
    await writeFolder(NEW, folder, testEffects());
    const after = [statSync(folder), statSync(join(folder, 'mine'))];
    expect(after.map(({ ino, mode }) => [ino, mode])).toEqual(before.map(({ ino, mode }) => [ino, mode]));
  });

  it.each([
    ['an older dossier', OLD],
    ['an empty folder', undefined],
  ])('deletes nothing that somebody puts into %s while it is being replaced', async (_, old) => {
    if (old === undefined) mkdirSync(folder);
    else await writeFolder(old, folder, testEffects());
    const letterArrives = (): string => {
      if (old === undefined) writeFileSync(join(folder, MARKER), 'arrangement-dossier output 1');
      writeFileSync(join(folder, 'letter.txt'), 'just arrived');
      return 'new';
    };
    await writeFolder([{ path: 'index.html', content: letterArrives }], folder, testEffects());
    expect(textOf('index.html')).toBe('new');
    expect(textOf('letter.txt')).toBe('just arrived');
  });

  it('says so where the folder is deleted while the dossier is being made', async () => {
    await writeFolder(OLD, folder, testEffects());
    const oldGoes = (): string => {
      rmSync(folder, { recursive: true });
      return 'new';
    };
    const error = await refusal(writeFolder([{ path: 'index.html', content: oldGoes }], folder, testEffects()));
    expect(error.message).toMatch(
      /^“[^”]*dossier.index\.html” cannot be written because no file or folder can be made there/,
    );
    expect(everything()).toEqual([]);
  });

  it('gives way where the empty folder is taken for something else meanwhile', async () => {
    mkdirSync(folder);
    const thesisArrives = (): string => {
      writeFileSync(join(folder, 'thesis.txt'), 'years of work');
      return 'new';
    };
    const error = await refusal(writeFolder([{ path: 'index.html', content: thesisArrives }], folder, testEffects()));
    expect(error.problems[0]?.code).toBe('output-not-ours');
    expect(error.problems[0]?.message).toContain(`“${folder}”`);
    expect(everything()).toEqual(['dossier/thesis.txt']);
  });

  it('follows a link to the folder and leaves the link alone', async () => {
    mkdirSync(join(parent, 'elsewhere'));
    symlinkSync(join(parent, 'elsewhere'), folder);
    await writeFolder(OLD, folder, testEffects());
    expect(readFileSync(join(parent, 'elsewhere', 'index.html'), 'utf8')).toBe('old');
  });

  it.each([
    ['a folder that holds something else', 'thesis.txt', 'years of work'],
    ['a folder with a marker that is not ours', MARKER, 'something else'],
    ['a folder where the marker is a folder', join(MARKER, 'inside'), ''],
  ])('never touches %s, and says so in one sentence', async (_, path, content) => {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), content);
    const before = everything();
    const error = await refusal(publishDossier(smallDossier(), { folder, singleFile: false }, testEffects()));
    expect(error.problems.map((problem) => problem.kind)).toEqual(['usage']);
    expect(error.problems[0]?.message).toMatch(/^[^.]*“.*--out.*\.$/s);
    expect(everything()).toEqual(before);
  });

  it('refuses a place where a file stands', async () => {
    writeFileSync(folder, 'a file');
    const error = await refusal(writeFolder(OLD, folder, testEffects()));
    expect(error.problems[0]?.code).toBe('output-not-a-folder');
    expect(readFileSync(folder, 'utf8')).toBe('a file');
  });
});

describe('a build that fails', () => {
  it('leaves the last good dossier as it was, whichever step fails, and no half-written folder', async () => {
    await writeFolder(OLD, folder, testEffects());
    let calls = 0;
    for (let failing = 1; failing < 20; failing += 1) {
      calls = 0;
      const failAt = async <T>(operation: () => Promise<T>): Promise<T> => {
        calls += 1;
        if (calls === failing) throw new Error('the disk is full');
        return operation();
      };
      const effects = testEffects({
        write: (path, content) => failAt(() => nodeDisk.write(path, content)),
        makeFolder: (path) => failAt(() => nodeDisk.makeFolder(path)),
        rename: (from, to) => failAt(() => nodeDisk.rename(from, to)),
      });
      const outcome = await writeFolder(NEW, folder, effects).then(
        () => 'written',
        () => 'failed',
      );
      if (outcome === 'written') break;
      expect(textOf('index.html'), `failure of step ${String(failing)}`).toBe('old');
      expect(everything(), `failure of step ${String(failing)}`).toEqual([`dossier/${MARKER}`, 'dossier/index.html']);
    }
    expect(textOf('index.html')).toBe('new');
  });
});

describe('a build that is interrupted', () => {
  it('while it writes leaves the last good dossier, and no half-written folder', async () => {
    await writeFolder(OLD, folder, testEffects());
    let written = 0;
    const stopped = writeFolder(
      NEW.map((file) => ({ ...file, content: () => String((written += 1)) })),
      folder,
      { ...testEffects(), withoutInterruption: (work) => work(() => written > 0) },
    );
    await expect(stopped).rejects.toThrow('interrupted');
    expect(written).toBe(1);
    expect(textOf('index.html')).toBe('old');
    expect(everything()).toEqual([`dossier/${MARKER}`, 'dossier/index.html']);
  });
});

describe('the published folder', () => {
  it('is the same, byte for byte, wherever and whenever it is built', async () => {
    const other = join(parent, 'another place', 'out');
    const first = await publishDossier(smallDossier(), { folder, singleFile: false }, testEffects());
    const second = await publishDossier(smallDossier(), { folder: other, singleFile: false }, testEffects());
    expect(second).toEqual(first);
    for (const path of [...first.files, MARKER]) {
      expect(readFileSync(join(other, path)).equals(readFileSync(join(folder, path))), path).toBe(true);
      expect(readFileSync(join(folder, path), 'utf8')).not.toContain(scratch);
      expect(readFileSync(join(folder, path), 'utf8')).not.toContain(process.cwd());
    }
  });

  it('has a page for every stage, what changed, how it was judged, the data and the tables', async () => {
    const { files, bytes } = await publishDossier(smallDossier(), { folder, singleFile: false }, testEffects());
    expect(files.slice(0, 9)).toEqual([
      'index.html',
      'stage-01-tune.html',
      'client-sheet.html',
      'changes.html',
      'judged.html',
      'files.html',
      'numbers.html',
      'stage-01-tune-numbers.html',
      'dossier.json',
    ]);
    const tables = ['register', 'presence', 'balance', 'ranges', 'chords', 'findings'];
    for (const table of tables) expect(existsSync(join(folder, 'tables', `stage-02-bass-${table}.csv`))).toBe(true);
    expect(bytes).toBe(files.reduce((sum, path) => sum + readFileSync(join(folder, path)).length, 0));
  });

  it('has the scores of every stage, and the page beside each leads to them', async () => {
    const { files } = await publishDossier(smallDossier(), { folder, singleFile: false }, testEffects());
    const scores = files.filter((path) => path.startsWith('scores/'));
    // The small dossier has written notes and no reduced score.
    expect(scores).toEqual(['scores/stage-01-tune-full.musicxml', 'scores/stage-02-bass-full.musicxml']);
    const pages = ['stage-01-tune.html', 'index.html'];
    for (const [index, path] of scores.entries()) {
      expect(readFileSync(join(folder, path), 'utf8')).toContain('<score-partwise version="4.0">');
      expect(readFileSync(join(folder, pages[index] ?? ''), 'utf8')).toContain(`href="${path}"`);
    }
  });

  it('gives the same data files beside a single file', async () => {
    const alone = join(parent, 'alone');
    const first = await publishDossier(smallDossier(), { folder, singleFile: false }, testEffects());
    const second = await publishDossier(smallDossier(), { folder: alone, singleFile: true }, testEffects());
    const data = (files: readonly string[]): string[] => files.filter((path) => !path.endsWith('.html'));
    expect(data(second.files)).toEqual(data(first.files));
    expect(second.files.filter((path) => path.endsWith('.html'))).toEqual(['dossier.html']);
    for (const path of data(first.files)) {
      expect(readFileSync(join(alone, path)).equals(readFileSync(join(folder, path)))).toBe(true);
    }
  });
});
