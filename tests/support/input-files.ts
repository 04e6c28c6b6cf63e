import { existsSync, readdirSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import { OUTPUT_MARKER } from '../../src/model/output-marker.ts';

/** Paths of the files of an input folder, sorted; a dossier that was built inside it is no part of it. */
export function inputFilesIn(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)))
    .filter((path) => !existsSync(join(folder, path.split(sep)[0] ?? '', OUTPUT_MARKER)))
    .sort();
}
