/** Exports that an archive has and the folder has no more, put back in their place for reading only. */
import { groupedBy } from '../../model/grouped.ts';
import { dirname, join } from 'node:path';
import type { ArchivedBuild, ArchivedFile } from '../../model/archive.ts';
import type { DirectoryEntry, Disk } from '../../model/effects.ts';
import { MOST_FILE_BYTES } from '../midi-limits.ts';
import type { RawFile } from '../raw.ts';
import { readKept, type Archive } from './read-archive.ts';

export interface GoneFile extends ArchivedFile {
  /** The last build that had it. */
  readonly build: number;
}

/** Name of the stage that a file belongs to: its own at the top, else that of its folder. */
function stageOf(path: string): string {
  return path.split('/')[0] ?? path;
}

function stagesIn(build: ArchivedBuild): ReadonlyMap<string, readonly ArchivedFile[]> {
  return groupedBy(
    build.files.filter(({ use }) => use === 'stage'),
    ({ path }) => stageOf(path),
  );
}

/**
 * Files of stages that some build had and the folder has no more, each as the last build had it. A stage whose files are
 * all there under other names was renamed and is not gone; one whose name is there was exported anew.
 */
export function goneFiles({ builds }: Archive, files: readonly RawFile[]): readonly GoneFile[] {
  const names = new Set(files.map(({ path }) => stageOf(path).toLowerCase()));
  const hashes = new Set(files.map(({ sha256 }) => sha256));
  const gone: GoneFile[] = [];
  for (const build of [...builds].reverse()) {
    for (const [name, members] of stagesIn(build)) {
      if (names.has(name.toLowerCase()) || members.every(({ sha256 }) => hashes.has(sha256))) continue;
      names.add(name.toLowerCase());
      gone.push(...members.map((file) => ({ ...file, build: build.number })));
    }
  }
  return gone;
}

/** The disk with the gone files at their old places in the folder. Only reading sees them. */
export async function withGoneFiles(
  disk: Disk,
  folder: string,
  archive: Archive,
  gone: readonly GoneFile[],
): Promise<Disk> {
  const contents = new Map<string, Uint8Array>();
  for (const { path, sha256 } of gone) {
    contents.set(join(folder, path), await readKept(disk, archive, sha256, MOST_FILE_BYTES));
  }
  const added = new Map<string, DirectoryEntry[]>();
  const add = (parent: string, entry: DirectoryEntry): void => {
    const known = added.get(parent) ?? [];
    if (!known.some(({ name }) => name === entry.name)) added.set(parent, [...known, entry]);
  };
  for (const { path } of gone) {
    const [first = '', second] = path.split('/');
    add(folder, { name: first, kind: second === undefined ? 'file' : 'directory' });
    if (second !== undefined) add(join(folder, first), { name: second, kind: 'file' });
  }
  const isNewFolder = (path: string): boolean => path !== folder && added.has(path) && dirname(path) === folder;
  return {
    ...disk,
    list: async (path) => [...(isNewFolder(path) ? [] : await disk.list(path)), ...(added.get(path) ?? [])],
    status: async (path) => {
      const content = contents.get(path);
      if (content !== undefined) return { kind: 'file', bytes: content.length };
      return isNewFolder(path) ? { kind: 'directory', bytes: 0 } : disk.status(path);
    },
    realPath: async (path) => (contents.has(path) || isNewFolder(path) ? path : disk.realPath(path)),
    read: async (path) => contents.get(path) ?? disk.read(path),
  };
}
