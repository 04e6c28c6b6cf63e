/** The input folder together with what an archive kept of it. */
import type { Disk } from '../../model/effects.ts';
import type { RawFile, RawFolder } from '../raw.ts';
import { readFolder, type ReadOptions } from '../read-folder.ts';
import { sha256Of } from './archive-layout.ts';
import { goneFiles, withGoneFiles } from './gone-stages.ts';
import { readArchive, type Archive } from './read-archive.ts';

export interface FolderWithArchive {
  /** With stages that only the archive has. */
  readonly raw: RawFolder;
  readonly archive: Archive;
  /** Files that the folder itself has, and their bytes by hash. */
  readonly files: readonly RawFile[];
  readonly contents: ReadonlyMap<string, Uint8Array>;
}

/** Reads both. Throws an InputError where the folder gives nothing or the archive is not whole. */
export async function readWithArchive(
  folder: string,
  archiveFolder: string,
  disk: Disk,
  options: ReadOptions,
): Promise<FolderWithArchive> {
  const archive = await readArchive(disk, archiveFolder);
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
  const gone = goneFiles(archive, own.files);
  if (gone.length === 0) return { raw: own, archive, files: own.files, contents };
  const raw = await readFolder(folder, await withGoneFiles(disk, folder, archive, gone), options);
  const remarks = gone.map(({ path, build }) => ({
    kind: 'remark' as const,
    code: 'from-archive',
    file: path,
    message: `This file is not in the folder any more; it is shown as build ${String(build)} of the archive kept it. “ignore: true” under its name in “stages” of dossier.yaml leaves it out.`,
  }));
  return { raw: { ...raw, problems: [...raw.problems, ...remarks] }, archive, files: own.files, contents };
}
