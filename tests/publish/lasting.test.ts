/** What the archive asks of the disk: bytes and names that outlive a power cut, and a place that can be written, asked before any work. */
import { mkdirSync, mkdtempSync, readdirSync, readFileSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { join } from 'node:path';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { buildDossier } from '../../src/build.ts';
import { nodeDisk, writing } from '../../src/node-effects.ts';
import { scratchFolder, testEffects } from '../support/effects.ts';
import { archiveOf, DUO, keepFolder, recordsIn, SOLO, writeExports } from '../support/kept-folder.ts';

const scratch = scratchFolder();

/** Counts how often the system is told to put an open file, or folder, onto the disk. */
async function syncs(): Promise<{ readonly count: () => number }> {
  const handle = await open(scratch, 'r');
  const spied = vi.spyOn(Object.getPrototypeOf(handle) as typeof handle, 'sync');
  await handle.close();
  return { count: () => spied.mock.calls.length };
}

afterEach(() => {
  vi.restoreAllMocks();
});

describe('the disk of the system', () => {
  it('is told once to put the bytes of a lasting file onto the disk, and never for another', async () => {
    const { count } = await syncs();
    await nodeDisk.write(join(scratch, 'a'), 'text');
    expect(count()).toBe(0);
    await nodeDisk.writeLasting(join(scratch, 'a'), 'other');
    expect([count(), readFileSync(join(scratch, 'a'), 'utf8')]).toEqual([1, 'other']);
  });

  it('is told to put the names of a folder onto the disk; one that knows no such order is as good as one that does', async () => {
    const { count } = await syncs();
    await nodeDisk.makeNamesLast(scratch);
    expect(count()).toBe(1);
    const handle = await open(scratch, 'r');
    const prototype = Object.getPrototypeOf(handle) as typeof handle;
    await handle.close();
    const failing = vi.spyOn(prototype, 'sync').mockRejectedValue(Object.assign(new Error(), { code: 'EINVAL' }));
    await nodeDisk.makeNamesLast(scratch);
    failing.mockRejectedValue(Object.assign(new Error(), { code: 'EIO' }));
    await expect(nodeDisk.makeNamesLast(scratch)).rejects.toThrow('the disk reports an error');
  });
});

describe('an archive that cannot be written', () => {
  const denied = (path: string): Promise<never> =>
    writing(path, () => Promise.reject(Object.assign(new Error(), { code: 'EACCES' })));

  /** Effects that may not write what a test says. */
  const without = (isDenied: (path: string) => boolean) =>
    testEffects({
      write: (path, content) => (isDenied(path) ? denied(path) : nodeDisk.write(path, content)),
      writeLasting: (path, content) => (isDenied(path) ? denied(path) : nodeDisk.write(path, content)),
      makeFolder: (path) => (isDenied(path) ? denied(path) : nodeDisk.makeFolder(path)),
    });

  const folderOf = (): string => mkdtempSync(join(scratch, 'piece-'));
  const build = (folder: string, effects = testEffects()) =>
    buildDossier({ folder, singleFile: false, archive: true }, effects);

  it('beside a folder that may be written is told before the dossier is written', async () => {
    const folder = folderOf();
    writeExports(folder, { '1.mid': SOLO });
    mkdirSync(join(folder, 'dossier'));
    const inside = join(folder, 'dossier', '/');
    const refused = build(
      folder,
      without((path) => !path.startsWith(inside)),
    );
    await expect(refused).rejects.toThrow(
      `No build can be kept in the archive “${archiveOf(folder)}”, so no dossier was written: “${folder}” cannot be written because permission was denied: choose another place with --out; without --archive it is written all the same.`,
    );
    expect(readdirSync(join(folder, 'dossier'))).toEqual([]);
    expect(readdirSync(folder)).toEqual(['1.mid', 'dossier']);
  });

  it.each(['objects', 'records'])('because of its folder %s is told before the dossier is changed', async (name) => {
    const folder = folderOf();
    writeExports(folder, { '1.mid': SOLO });
    await keepFolder(folder);
    writeExports(folder, { '2.mid': DUO });
    const closed = join(archiveOf(folder), name);
    const refused = build(
      folder,
      without((path) => path.startsWith(join(closed, '/'))),
    );
    await expect(refused).rejects.toThrow(`so no dossier was written: “${closed}” cannot be written because`);
    expect(readdirSync(folder)).toEqual(['1.mid', '2.mid', 'dossier-archive']);
    expect(recordsIn(archiveOf(folder)).size).toBe(1);
  });

  it('is no matter once it can be, and the question leaves nothing behind', async () => {
    const folder = folderOf();
    writeExports(folder, { '1.mid': SOLO });
    await build(folder);
    await build(folder);
    expect(readdirSync(folder)).toEqual(['1.mid', 'dossier', 'dossier-archive']);
    const below = readdirSync(archiveOf(folder), { recursive: true, encoding: 'utf8' });
    expect(below.filter((path) => path.endsWith('.part'))).toEqual([]);
  });
});
