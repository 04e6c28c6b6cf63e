/** Whether a dossier stands in its folder as it was written: then nothing of it is made again. */
import { join } from 'node:path';
import type { Disk } from '../../model/effects.ts';
import { sha256Of } from '../../model/hashes.ts';
import { inspectPlace, listedIn } from './output-place.ts';

/** A finished dossier: its files in order, with their hashes, and their size together. */
export interface WrittenDossier {
  readonly files: readonly { readonly path: string; readonly sha256: string }[];
  readonly bytes: number;
}

/** True where the folder (an absolute path) holds all the files of this dossier, byte for byte, and no other of ours. */
export async function stands({ files }: WrittenDossier, folder: string, disk: Disk): Promise<boolean> {
  const { marker, ours } = await inspectPlace(disk, folder);
  if (marker === undefined || listedIn(marker).size !== files.length || ours.size !== files.length) return false;
  for (const { path, sha256 } of files) {
    const content = await disk.read(join(folder, path)).catch(() => undefined);
    if (content === undefined || sha256Of(content) !== sha256) return false;
  }
  return true;
}
