/** The input folder together with what an archive kept of it. */
import type { Disk } from '../../model/effects.ts';
import { sha256Of } from '../../model/hashes.ts';
import type { Problem } from '../../problems/problem.ts';
import type { RawFile, RawFolder } from '../raw.ts';
import { readFolder, type ReadOptions } from '../read-folder.ts';
import { goneFiles, withGoneFiles, type GoneFile } from './gone-stages.ts';
import { readArchive, type Archive } from './read-archive.ts';

export interface FolderWithArchive {
  /** With stages that only the archive has. */
  readonly raw: RawFolder;
  readonly archive: Archive;
  /** Files that the folder itself has, and their bytes by hash. */
  readonly files: readonly RawFile[];
  readonly contents: ReadonlyMap<string, Uint8Array>;
}

const LEAVE_OUT = '“ignore: true” under its name in “stages” of dossier.yaml leaves it out.';

function fromArchive({ path, build, isEmptied }: GoneFile): Problem {
  const what = isEmptied ? 'Nothing can be read from this file any more' : 'This file is not in the folder any more';
  const message = `${what}; it is shown as build ${String(build)} of the archive kept it. ${LEAVE_OUT}`;
  return { kind: 'remark', code: 'from-archive', file: path, message };
}

/** Reads both. Throws an InputError where the folder gives nothing or what stands in place of the archive is not one. */
export async function readWithArchive(
  folder: string,
  archiveFolder: string,
  disk: Disk,
  options: ReadOptions,
): Promise<FolderWithArchive> {
  return readKept(folder, await readArchive(disk, archiveFolder), disk, options);
}

/** Reads the folder with what this archive kept of it. */
export async function readKept(
  folder: string,
  archive: Archive,
  disk: Disk,
  options: ReadOptions,
): Promise<FolderWithArchive> {
  const contents = new Map<string, Uint8Array>();
  const recording: Disk = {
    ...disk,
    read: async (path) => {
      const bytes = await disk.read(path);
      contents.set(sha256Of(bytes), bytes);
      return bytes;
    },
  };
  const own = await readFolder(folder, recording, options);
  const gone = goneFiles(archive, own);
  const lost = gone.lost.map(({ path }): Problem => ({
    kind: 'refused',
    code: 'lost-in-archive',
    file: path,
    message:
      'This file is not in the folder any more, and what the archive kept of it was damaged, so it cannot be shown: put it back into the folder, if there is a copy.',
  }));
  const raw =
    gone.files.length === 0
      ? own
      : await readFolder(folder, await withGoneFiles(disk, folder, archive, gone.files), options);
  const problems = [...raw.problems, ...gone.files.map(fromArchive), ...lost];
  return { raw: { ...raw, problems }, archive, files: own.files, contents };
}
