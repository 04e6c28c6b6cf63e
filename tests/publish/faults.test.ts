/**
 * A disk that fails, and a program that is killed, at every single operation: never a lost file of the user's, never a locked archive,
 * never a dossier that stays half old and half new, never a sentence that is not true.
 */
import { mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Effects } from '../../src/model/effects.ts';
import { InputError } from '../../src/problems/problem.ts';
import { checkOutputFolder, writeFolder, type OutputFile } from '../../src/publish/write-folder.ts';
import { quickDisk, scratchFolder, testEffects } from '../support/effects.ts';
import { failingEffects, FAULTS, Killed, type Fault } from '../support/failing-disk.ts';
import {
  archiveOf,
  DUO,
  faultsIn,
  hashesUnder,
  keepFolder,
  recordsIn,
  sketch,
  SOLO,
  writeExports,
} from '../support/kept-folder.ts';
import { cuttableDisk, type CuttableDisk } from '../support/power-cut.ts';

const MOST_OPERATIONS = 400;
const FEWEST_OPERATIONS = 20;
const scratch = scratchFolder();
let count = 0;

function filesOf(texts: Readonly<Record<string, string>>): readonly OutputFile[] {
  return Object.entries(texts).map(([path, text]) => ({ path, content: () => text }));
}

const OLD = { 'index.html': 'old index', 'gone.html': 'old page', 'tables/a.csv': 'old table' };
const NEW = { 'index.html': 'new index', 'tables/a.csv': 'new table', 'scores/a.musicxml': 'new score' };
const OWN = { 'letter.txt': 'dear', 'tables/mine.txt': 'my figures', 'mine/deep/take.txt': 'take 3' };

/** Texts of all files under a folder by path, the marker and unfinished work left out. */
function textsUnder(folder: string): Readonly<Record<string, string>> {
  return Object.fromEntries(
    readdirSync(folder, { recursive: true, withFileTypes: true })
      .filter((entry) => !entry.isDirectory())
      .map((entry) => join(entry.parentPath, entry.name))
      .filter((path) => !/[\\/]\.(partial|replacing|arrangement-dossier)/.test(path.slice(folder.length)))
      .map((path) => [path.slice(folder.length + 1), readFileSync(path, 'utf8')]),
  );
}

/** Names of whatever is unfinished in the parent folder and in the folder. */
function leftovers(parent: string): readonly string[] {
  return readdirSync(parent, { recursive: true, encoding: 'utf8' }).filter((path) =>
    /partial|replacing|previous|\.part$/.test(path),
  );
}

async function build(folder: string, effects: Effects): Promise<void> {
  await checkOutputFolder(folder, effects);
  await writeFolder(filesOf(NEW), folder, effects);
}

/** What came of it: undefined where it succeeded. Anything but a kill and one sentence is a fault of ours. */
async function failureOf(work: Promise<unknown>, what: string): Promise<InputError | Killed | undefined> {
  try {
    await work;
    return undefined;
  } catch (error) {
    if (error instanceof Killed) return error;
    if (!(error instanceof InputError)) throw new Error(`${what}: ${String(error)}`, { cause: error });
    for (const { message } of error.problems) {
      expect(message, what).toMatch(/[^.]\.$/);
      expect(message, what).not.toMatch(/\.partial|\.replacing|undefined/);
    }
    return error;
  }
}

function isOneOf(texts: unknown, allowed: readonly unknown[], what: string): void {
  if (!allowed.some((one) => JSON.stringify(sorted(one)) === JSON.stringify(sorted(texts))))
    expect(texts, what).toEqual(allowed[0]);
}

function sorted(texts: unknown): unknown {
  return Object.entries(texts as object).sort(([a], [b]) => (a < b ? -1 : 1));
}

/** A disk that no power cut harms. */
const steadyDisk = (): CuttableDisk => ({ disk: quickDisk, cut: () => undefined });

/** Runs `attempt` with the fault at its first operation, its second and so on, each time on a new disk, until it comes to its end unharmed. */
async function atEveryOperation(
  fault: Fault,
  attempt: (effects: Effects, what: string, cut: () => void) => Promise<void>,
  newDisk = steadyDisk,
): Promise<number> {
  for (let failing = 1; failing < MOST_OPERATIONS; failing += 1) {
    const { disk, cut } = newDisk();
    const { effects, hasFailed } = failingEffects(fault, failing, disk);
    await attempt(effects, `${fault} at operation ${String(failing)}`, cut);
    if (!hasFailed()) return failing - 1;
  }
  throw new Error('it never came to its end');
}

/** Those that differ from the others where little is there to be lost. */
const isBasic = (fault: Fault): boolean => fault === 'a kill' || fault === 'one I/O error';

describe.each(FAULTS)('%s at every operation of a build', (fault) => {
  it.each([['over a dossier', OLD] as const, ...(isBasic(fault) ? [['in an empty folder', {}] as const] : [])])(
    '%s with files of the user in it loses none of them and leaves one whole dossier',
    async (_, old) => {
      const isFirst = Object.keys(old).length === 0;
      const own: Readonly<Record<string, string>> = isFirst ? {} : OWN;
      const operations = await atEveryOperation(fault, async (effects, what) => {
        count += 1;
        const parent = join(scratch, `output-${String(count)}`);
        const folder = join(parent, 'dossier');
        mkdirSync(folder, { recursive: true });
        if (!isFirst) await writeFolder(filesOf(old), folder, testEffects());
        for (const [path, text] of Object.entries(own)) {
          mkdirSync(dirname(join(folder, path)), { recursive: true });
          writeFileSync(join(folder, path), text);
        }
        const before = statSync(folder);
        const failure = await failureOf(build(folder, effects), what);
        const now = textsUnder(folder);
        // At once, before anything is put right: what is the user's is where it was, and no file is torn.
        expect(now, what).toMatchObject(own);
        for (const [path, text] of Object.entries(now))
          isOneOf(
            { path, text },
            [NEW, old, own].flatMap((texts) =>
              path in texts ? [{ path, text: (texts as Record<string, string>)[path] }] : [],
            ),
            what,
          );
        const isHalf =
          failure instanceof InputError && failure.problems.some(({ code }) => code === 'output-half-written');
        if (failure === undefined) isOneOf(now, [{ ...NEW, ...own }], what);
        else if (failure instanceof InputError && !isHalf) isOneOf(now, [{ ...old, ...own }], what);
        // The next build puts it right before it begins.
        await checkOutputFolder(folder, testEffects());
        isOneOf(
          textsUnder(folder),
          failure === undefined
            ? [{ ...NEW, ...own }]
            : [
                { ...old, ...own },
                { ...NEW, ...own },
              ],
          what,
        );
        await build(folder, testEffects());
        isOneOf(textsUnder(folder), [{ ...NEW, ...own }], what);
        expect(leftovers(parent), what).toEqual([]);
        const after = statSync(folder);
        expect([after.ino, after.mode], what).toEqual([before.ino, before.mode]);
      });
      expect(operations).toBeGreaterThan(FEWEST_OPERATIONS);
    },
  );

  const itIfBasic = isBasic(fault) ? it : () => undefined;
  itIfBasic('where there was no folder leaves none behind, or a whole dossier', async () => {
    await atEveryOperation(fault, async (effects, what) => {
      count += 1;
      const parent = join(scratch, `first-${String(count)}`);
      mkdirSync(parent);
      const folder = join(parent, 'deep', 'dossier');
      await failureOf(build(folder, effects), what);
      await build(folder, testEffects());
      isOneOf(
        textsUnder(parent),
        [Object.fromEntries(Object.entries(NEW).map(([path, text]) => [join('deep', 'dossier', path), text]))],
        what,
      );
      expect(leftovers(join(parent, 'deep')), what).toEqual([]);
    });
  });

  it('that is kept leaves an archive that the next build reads and adds to', async () => {
    const operations = await atEveryOperation(fault, async (effects, what) => {
      count += 1;
      const folder = join(scratch, `archive-${String(count)}`);
      const archive = archiveOf(folder);
      writeExports(folder, { '01 Solo.mid': SOLO, '02 Duo.mid': DUO });
      await keepFolder(folder);
      const held = hashesUnder(archive);
      const records = recordsIn(archive).size;
      writeExports(folder, { '03 Trio.mid': sketch(50, 52) });
      const failure = await failureOf(keepFolder(folder, effects), what);
      const objects = Object.entries(held).filter(([path]) => !/head|index/.test(path));
      expect(hashesUnder(archive), what).toMatchObject(Object.fromEntries(objects));
      if (failure instanceof InputError) expect(recordsIn(archive).size, what).toBe(records);
      expect(faultsIn(archive), what).toEqual([]);
      const { input, problems } = await keepFolder(folder);
      expect(problems, what).toEqual([]);
      expect(
        input.history?.at(-1)?.stages.map(({ title }) => title),
        what,
      ).toEqual(['01 Solo', '02 Duo', '03 Trio']);
      expect(faultsIn(archive), what).toEqual([]);
      expect(leftovers(folder), what).toEqual([]);
    });
    expect(operations).toBeGreaterThan(FEWEST_OPERATIONS);
  });
});

describe('a power cut at every operation of a build that is kept', () => {
  /** Kept, and nothing to say about it: a disk that fails after the record is in its place is told as a remark. */
  async function isSaidToBeKept(work: ReturnType<typeof keepFolder>, what: string): Promise<boolean> {
    let remarks = 0;
    const failure = await failureOf(
      work.then(({ problems }) => (remarks = problems.length)),
      what,
    );
    return failure === undefined && remarks === 0;
  }

  it('leaves an archive that is whole, with all that was kept before, and with this build once it was said to be kept', async () => {
    const attempt = async (effects: Effects, what: string, cut: () => void): Promise<void> => {
      count += 1;
      const folder = join(scratch, `power-${String(count)}`);
      const archive = archiveOf(folder);
      writeExports(folder, { '01 Solo.mid': SOLO });
      await keepFolder(folder);
      const held = Object.entries(hashesUnder(archive)).filter(([path]) => !/head|index/.test(path));
      writeExports(folder, { '02 Duo.mid': DUO });
      const isKept = await isSaidToBeKept(keepFolder(folder, effects), what);
      cut();
      expect(hashesUnder(archive), what).toMatchObject(Object.fromEntries(held));
      expect(faultsIn(archive), what).toEqual([]);
      if (isKept) expect(recordsIn(archive).size, what).toBe(2);
      const { input } = await keepFolder(folder);
      expect(
        input.history?.map(({ stages }) => stages.length),
        what,
      ).toEqual([1, 2]);
      expect(recordsIn(archive).size, what).toBe(2);
    };
    expect(await atEveryOperation('a kill', attempt, cuttableDisk)).toBeGreaterThan(FEWEST_OPERATIONS);
  });

  it('in an archive that begins with it leaves a whole one or none', async () => {
    const attempt = async (effects: Effects, what: string, cut: () => void): Promise<void> => {
      count += 1;
      const folder = join(scratch, `power-${String(count)}`);
      writeExports(folder, { '01 Solo.mid': SOLO });
      const isKept = await isSaidToBeKept(keepFolder(folder, effects), what);
      cut();
      expect(faultsIn(archiveOf(folder)), what).toEqual([]);
      if (isKept) expect(recordsIn(archiveOf(folder)).size, what).toBe(1);
      await keepFolder(folder);
      expect(recordsIn(archiveOf(folder)).size, what).toBe(1);
    };
    expect(await atEveryOperation('a kill', attempt, cuttableDisk)).toBeGreaterThan(FEWEST_OPERATIONS);
  });
});
