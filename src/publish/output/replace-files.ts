/**
 * Puts finished files into their place, one by one, without ever moving what is not ours: the folder itself, with its mode and
 * whatever others keep in it, stays where it is. Before anything is moved the work folder has a copy of all that will go, and
 * the list of it, so that a failure, or the next build after a kill, can put all of it back.
 *
 * In the work folder: `new/` what was written, `old/` copies of our files as they were, `before` the marker as it was.
 */
import { dirname, join } from 'node:path';
import type { Disk } from '../../model/effects.ts';
import { OUTPUT_MARKER } from '../../model/output-marker.ts';
import { listedIn, markerText, treeOf, type OutputPlace } from './output-place.ts';

const NEW = 'new';
const OLD = 'old';
const BEFORE = 'before';
const MARKER = 'marker';

/** Where the files of a dossier are written before they are moved. */
export function newFilesIn(work: string): string {
  return join(work, NEW);
}

async function writeMarker(disk: Disk, place: string, work: string, text: string): Promise<void> {
  await disk.write(join(work, MARKER), text);
  await disk.rename(join(work, MARKER), join(place, OUTPUT_MARKER));
}

/** Folders that these paths lie in, the deepest first. */
function foldersOf(paths: Iterable<string>): readonly string[] {
  const folders = new Set<string>();
  for (const path of paths) {
    const names = path.split('/');
    for (let depth = names.length - 1; depth > 0; depth -= 1) folders.add(names.slice(0, depth).join('/'));
  }
  return [...folders].sort((a, b) => b.length - a.length);
}

async function removeFiles(disk: Disk, place: string, paths: readonly string[]): Promise<void> {
  for (const path of paths) await disk.remove(join(place, path));
  for (const folder of foldersOf(paths)) await disk.removeEmptyFolder(join(place, folder));
}

/** Moves the files `paths` from the work folder to their place, the first one last, and takes away those that are no longer made. */
export async function replaceFiles(
  disk: Disk,
  place: string,
  work: string,
  paths: readonly string[],
  { marker, ours }: OutputPlace,
): Promise<void> {
  const made = new Set(paths);
  await disk.write(join(work, MARKER), marker ?? '');
  await disk.rename(join(work, MARKER), join(work, BEFORE));
  await writeMarker(disk, place, work, markerText(new Set([...ours, ...paths])));
  for (const folder of new Set([...ours].map((path) => dirname(path)))) await disk.makeFolder(join(work, OLD, folder));
  for (const path of ours) await disk.keepCopy(join(place, path), join(work, OLD, path));
  for (const folder of new Set(paths.map((path) => dirname(path)))) {
    if (folder !== '.') await disk.makeFolder(join(place, folder));
  }
  // The page that leads to all others is the last to be new.
  for (const path of [...paths].reverse()) await disk.rename(join(work, NEW, path), join(place, path));
  await removeFiles(
    disk,
    place,
    [...ours].filter((path) => !made.has(path)),
  );
  await writeMarker(disk, place, work, markerText(paths));
}

/** True where moving had begun and was neither finished nor undone. */
export async function holdsWhatWas(disk: Disk, work: string): Promise<boolean> {
  return (await disk.status(join(work, BEFORE))) !== undefined;
}

/** Undoes `replaceFiles`, wherever it was broken off; may be broken off and begun again itself. */
export async function putBack(disk: Disk, place: string, work: string): Promise<void> {
  if (!(await holdsWhatWas(disk, work))) return;
  const before = new TextDecoder().decode(await disk.read(join(work, BEFORE)));
  const isOldThere = (await disk.status(join(work, OLD))) !== undefined;
  const old = isOldThere ? [...(await treeOf(disk, join(work, OLD))).files] : [];
  for (const path of old) {
    await disk.makeFolder(dirname(join(place, path)));
    await disk.rename(join(work, OLD, path), join(place, path));
  }
  if ((await disk.status(join(place, OUTPUT_MARKER))) !== undefined) {
    const listed = listedIn(new TextDecoder().decode(await disk.read(join(place, OUTPUT_MARKER))));
    const earlier = listedIn(before);
    const { files, folders } = await treeOf(disk, place);
    const added: string[] = [];
    for (const path of files) {
      // What is still in the work folder was never moved: a file of that name is somebody else's.
      const isMoved = (await disk.status(join(work, NEW, path))) === undefined;
      if (listed.has(path) && !earlier.has(path) && isMoved) added.push(path);
    }
    await removeFiles(disk, place, added);
    for (const folder of foldersOf(listed)) {
      if (folders.has(folder)) await disk.removeEmptyFolder(join(place, folder));
    }
  }
  if (before === '') await disk.remove(join(place, OUTPUT_MARKER));
  else await writeMarker(disk, place, work, before);
  await disk.remove(join(work, BEFORE));
}
