import { existsSync } from 'node:fs';
import { join, sep } from 'node:path';
import { OUTPUT_MARKER } from '../../src/model/output-marker.ts';
import { filesUnder } from './files-under.ts';

/** Paths of the files of an input folder, sorted; a dossier that was built inside it is no part of it. */
export function inputFilesIn(folder: string): string[] {
  return filesUnder(folder).filter((path) => !existsSync(join(folder, path.split(sep)[0] ?? '', OUTPUT_MARKER)));
}
