/** One build of an archive as if its folder were still there: the files that were kept, and what the archive was before it. */
import { basename, dirname, join } from 'node:path';
import type { ArchivedBuild } from '../../model/readings/archive.ts';
import type { DirectoryEntry, Disk } from '../../model/effects.ts';
import { listText } from '../../model/words/plain-words.ts';
import { readObject } from './check-objects.ts';
import { objectText, readArchive, type Archive } from './read-archive.ts';
import { readKept, type FolderWithArchive } from './read-with-archive.ts';
import { usageError } from '../../problems/problem.ts';

const MOST_NAMED = 4;

/** The numbers of all builds that one was made after. */
function ancestorsOf(builds: readonly ArchivedBuild[], number: number): ReadonlySet<number> {
  const found = new Set<number>();
  const follow = (one: number): void => {
    for (const earlier of builds.find((build) => build.number === one)?.follows ?? []) {
      if (found.has(earlier)) continue;
      found.add(earlier);
      follow(earlier);
    }
  };
  follow(number);
  return found;
}

function buildNumbered({ folder, builds }: Archive, number: number): ArchivedBuild {
  const found = builds.find((build) => build.number === number);
  if (found !== undefined) return found;
  const those =
    builds.length === 0 ? 'no builds' : builds.length === 1 ? 'build 1 alone' : `builds 1 to ${String(builds.length)}`;
  throw usageError('no-such-build', `The archive “${folder}” has ${those}, no build ${String(number)}.`);
}

async function contentsOf(archive: Archive, build: ArchivedBuild, disk: Disk): Promise<Map<string, Uint8Array>> {
  const contents = new Map<string, Uint8Array>();
  const lost: string[] = [];
  for (const { path, sha256 } of build.files) {
    const bytes = archive.spare.get(sha256) ?? (await readObject(disk, archive.folder, sha256));
    if (typeof bytes === 'string') lost.push(`${objectText(archive, sha256)}, which ${bytes}`);
    else contents.set(path, bytes);
  }
  if (lost.length > 0) {
    throw usageError(
      'build-not-whole',
      `Build ${String(build.number)} cannot be restored from the archive “${archive.folder}”, as it has not all of it any more (${listText(lost, MOST_NAMED)}): put the archive back from a copy, if there is one.`,
    );
  }
  return contents;
}

/** A disk on which the folder holds these files, by path in it, and nothing else. */
function diskWith(disk: Disk, folder: string, contents: ReadonlyMap<string, Uint8Array>): Disk {
  const files = new Map([...contents].map(([path, bytes]) => [join(folder, path), bytes]));
  const entries = new Map<string, DirectoryEntry[]>([[folder, []]]);
  for (const path of files.keys()) {
    const parent = dirname(path);
    if (!entries.has(parent)) {
      entries.set(parent, []);
      entries.get(folder)?.push({ name: basename(parent), kind: 'directory' });
    }
    entries.get(parent)?.push({ name: basename(path), kind: 'file' });
  }
  const isInside = (path: string): boolean => path.startsWith(join(folder, '/'));
  return {
    ...disk,
    list: (path) => {
      const own = entries.get(path);
      return own === undefined ? disk.list(path) : Promise.resolve(own);
    },
    status: (path) => {
      const bytes = files.get(path);
      if (bytes !== undefined) return Promise.resolve({ kind: 'file', bytes: bytes.length });
      if (entries.has(path)) return Promise.resolve({ kind: 'directory', bytes: 0 });
      return isInside(path) ? Promise.resolve(undefined) : disk.status(path);
    },
    realPath: (path) => {
      if (files.has(path) || entries.has(path)) return Promise.resolve(path);
      return isInside(path) ? Promise.resolve(undefined) : disk.realPath(path);
    },
    read: async (path) => files.get(path) ?? (await disk.read(path)),
  };
}

export interface KeptFolder extends FolderWithArchive {
  readonly build: ArchivedBuild;
  /** The files of the build by path in the folder. */
  readonly keptFiles: ReadonlyMap<string, Uint8Array>;
}

/**
 * Build `number` of the archive. Throws an InputError, in one sentence, where the archive has no such build or not all of its files, or
 * where what stands in its place is no archive.
 */
export async function readKeptBuild(
  folder: string,
  archiveFolder: string,
  number: number,
  disk: Disk,
): Promise<KeptFolder> {
  const archive = await readArchive(disk, archiveFolder);
  const build = buildNumbered(archive, number);
  const keptFiles = await contentsOf(archive, build, disk);
  const isEarlier = ancestorsOf(archive.builds, number);
  const builds = archive.builds.filter((one) => isEarlier.has(one.number));
  const tips = build.follows.map((one) => ({ sha256: '', number: one }));
  // Files of stages that were gone by then still lie in the archive itself, which is outside of the folder as it is put back.
  const restored: Disk = diskWith(disk, folder, keptFiles);
  const reading: Disk = {
    ...restored,
    status: (path) => (path.startsWith(archiveFolder) ? disk.status(path) : restored.status(path)),
  };
  const source = await readKept(folder, { ...archive, builds, tips }, reading, { ignore: [] });
  return { ...source, build, keptFiles };
}
