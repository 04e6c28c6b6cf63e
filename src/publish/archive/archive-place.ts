/** The folder of an archive: whether it can be written, before any work; and the folder with its marker. */
import { basename, dirname, join } from 'node:path';
import type { Effects } from '../../model/effects.ts';
import { ARCHIVE_MARKER, ARCHIVE_TITLE, OBJECTS, partName, RECORDS } from '../../read/archive/archive-layout.ts';
import { missingFolders } from '../output/output-place.ts';
import { partialName } from '../output/work-names.ts';
import { putFile, removeQuietly } from './put-file.ts';
import { usageError } from '../../problems/problem.ts';

type Writing = Pick<Effects, 'disk' | 'runs'>;

/** The part of a path that is the name of something unfinished. */
const UNFINISHED = /[\\/][^\\/”]*\.(?:[0-9a-f-]+\.part|partial-[0-9a-f-]+)(?=”)/g;

/** What an error says, for the inside of a sentence, in terms of the folders that the user knows. */
export function reasonOf(error: unknown): string {
  return (error instanceof Error ? error.message : String(error)).replaceAll(UNFINISHED, '').replace(/\.$/, '');
}

async function writeMarker(folder: string, effects: Writing): Promise<void> {
  const path = join(folder, ARCHIVE_MARKER);
  const isThere = (await effects.disk.status(path))?.kind === 'file';
  const title = isThere ? new TextDecoder().decode(await effects.disk.read(path)) : '';
  if (title.trim() !== ARCHIVE_TITLE) await putFile(path, `${ARCHIVE_TITLE}\n`, effects);
}

/** Makes what an archive has before its first build, as far as it is not there, so that it lasts. */
export async function makeArchive(folder: string, effects: Writing): Promise<void> {
  const { disk } = effects;
  const missing = await missingFolders(disk, folder);
  await disk.makeFolder(folder);
  for (const path of missing) await disk.makeNamesLast(dirname(path));
  await writeMarker(folder, effects);
  await disk.makeFolder(join(folder, OBJECTS));
  await disk.makeFolder(join(folder, RECORDS));
  await disk.makeNamesLast(folder);
}

/** Writes a file into a folder and takes it away; what a kill leaves of it, the next build removes. */
async function tryFile(folder: string, { disk, runs }: Writing): Promise<void> {
  const run = runs.begin();
  const path = join(folder, partName('test', run));
  try {
    await disk.write(path, 'test');
    await disk.remove(path);
  } finally {
    await removeQuietly(disk, path);
    runs.end(run);
  }
}

/** Makes a hidden folder where the archive will be, under a name that the next build takes away, and takes it away. */
async function tryFolder(archive: string, dossier: string, { disk, runs }: Writing): Promise<void> {
  const run = runs.begin();
  const path = join(dirname(archive), `.${basename(dossier)}${partialName(run)}`);
  try {
    await disk.makeFolder(path);
    await disk.removeEmptyFolder(path);
  } finally {
    runs.end(run);
  }
}

/**
 * Whether an archive can be kept in this folder, beside that of the dossier (absolute paths; the place of the dossier was looked at before);
 * to be asked before any work. Throws an InputError where it cannot.
 */
export async function checkArchivePlace(archive: string, dossier: string, effects: Writing): Promise<void> {
  const { disk } = effects;
  try {
    const [first] = await missingFolders(disk, archive);
    if (first === archive) await tryFolder(archive, dossier, effects);
    // Where more than the archive itself is missing, the dossier will make it.
    if (first !== undefined) return;
    for (const path of [archive, join(archive, OBJECTS), join(archive, RECORDS)])
      if ((await disk.status(path))?.kind === 'directory') await tryFile(path, effects);
  } catch (error) {
    throw usageError(
      'archive-not-writable',
      `No build can be kept in the archive “${archive}”, so no dossier was written: ${reasonOf(error)}; without --archive it is written all the same.`,
    );
  }
}
