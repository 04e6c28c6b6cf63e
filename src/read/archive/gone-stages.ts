/** Exports that an archive has and the folder has no more, or only emptied, put back in their place for reading only. */
import { groupedBy } from '../../model/grouped.ts';
import { dirname, join } from 'node:path';
import type { ArchivedBuild, ArchivedFile } from '../../model/readings/archive.ts';
import type { DirectoryEntry, Disk } from '../../model/effects.ts';
import { shownName } from '../folder-survey.ts';
import type { RawFolder } from '../raw.ts';
import { readObject } from './check-objects.ts';
import type { Archive } from './read-archive.ts';

export interface GoneFile extends ArchivedFile {
  /** The last build that had it whole. */
  readonly build: number;
  /** True where a file of that name is in the folder and nothing can be read from it. */
  readonly isEmptied: boolean;
}

export interface GoneStages {
  readonly files: readonly GoneFile[];
  /** Those that cannot be shown because no build has them whole. */
  readonly lost: readonly ArchivedFile[];
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
 * Files of stages that some build had and the folder gives no more, each stage as the last build had it whole. A stage whose files
 * are all there under names that they did not have then was renamed and is not gone; one whose name is there was exported anew, unless nothing can
 * be read from it. A file of a stage in several files is gone too where it is there and cannot be read.
 */
export function goneFiles({ builds, damage, spare }: Archive, raw: RawFolder): GoneStages {
  const given = new Set(raw.stages.flatMap(({ files }) => files.map(({ path }) => stageOf(path).toLowerCase())));
  const pathsOf = groupedBy(
    raw.files.filter(({ use }) => use === 'stage'),
    ({ sha256 }) => sha256,
  );
  const present = new Set(raw.files.map(({ path }) => path));
  const useless = new Set(raw.files.filter(({ use }) => use === 'not used').map(({ path }) => path));
  const isKept = ({ sha256 }: ArchivedFile): boolean => !damage.has(sha256) || spare.has(sha256);
  const done = new Set<string>();
  const files: GoneFile[] = [];
  const lost = new Map<string, readonly ArchivedFile[]>();
  for (const build of [...builds].reverse()) {
    const had = new Map(build.files.map(({ path, sha256 }) => [path, sha256]));
    const isRenamed = ({ path, sha256 }: ArchivedFile): boolean =>
      !present.has(path) && (pathsOf.get(sha256) ?? []).some((file) => had.get(file.path) !== sha256);
    for (const [name, members] of stagesIn(build)) {
      const key = name.toLowerCase();
      const isGiven = given.has(key);
      const wanted = isGiven ? members.filter(({ path }) => path !== name && useless.has(path)) : members;
      if (done.has(key) || wanted.length === 0 || wanted.every(isRenamed)) continue;
      if (!wanted.every(isKept)) {
        if (!lost.has(key))
          lost.set(
            key,
            wanted.filter((file) => !isKept(file)),
          );
        continue;
      }
      done.add(key);
      lost.delete(key);
      files.push(...wanted.map((file) => ({ ...file, build: build.number, isEmptied: present.has(file.path) })));
    }
  }
  return { files, lost: [...lost.values()].flat() };
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
    const bytes = archive.spare.get(sha256) ?? (await readObject(disk, archive.folder, sha256));
    // Checked a moment ago; whatever came over it since then, it is left out like a file that cannot be read.
    contents.set(join(folder, path), typeof bytes === 'string' ? new Uint8Array() : bytes);
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
  const own = new Map<string, readonly DirectoryEntry[]>();
  for (const path of added.keys()) own.set(path, await disk.list(path).catch(() => []));
  const isNewFolder = (path: string): boolean =>
    path !== folder && added.has(path) && dirname(path) === folder && own.get(path)?.length === 0;
  /** What is there and nothing else, then what was put back; an emptied file gives way to its older self. */
  const listed = (path: string, extra: readonly DirectoryEntry[]): readonly DirectoryEntry[] => {
    const names = new Set(extra.filter(({ kind }) => kind === 'file').map(({ name }) => name));
    const kept = (own.get(path) ?? []).filter(({ name }) => !names.has(shownName(name)));
    return [...kept, ...extra.filter(({ name }) => !kept.some((entry) => entry.name === name))];
  };
  return {
    ...disk,
    list: (path) => {
      const extra = added.get(path);
      return extra === undefined ? disk.list(path) : Promise.resolve(listed(path, extra));
    },
    status: async (path) => {
      const content = contents.get(path);
      if (content !== undefined) return { kind: 'file', bytes: content.length };
      return isNewFolder(path) ? { kind: 'directory', bytes: 0 } : disk.status(path);
    },
    realPath: async (path) => (contents.has(path) || isNewFolder(path) ? path : disk.realPath(path)),
    read: async (path) => contents.get(path) ?? disk.read(path),
  };
}
