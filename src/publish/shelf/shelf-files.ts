/** An index on the disk: the page, and the same in a file for whoever joins it with others. */
import { join } from 'node:path';
import type { Effects } from '../../model/effects.ts';
import { usageError } from '../../problems/problem.ts';
import { inspectPlace } from '../output/output-place.ts';
import { readStyles } from '../render/render-pages.ts';
import { writeFolder } from '../write-folder.ts';
import { shelfSchema, type Shelf } from './shelf-entry.ts';
import { shelfPage } from './shelf-page.ts';

const PAGE = 'index.html';
const DATA = 'shelf.json';

/** Names of the files of an index. */
export const SHELF_NAMES: readonly string[] = [PAGE, DATA];

/** Writes an index into a folder (an absolute path), whole or not at all. Throws an InputError where it cannot. */
export async function writeShelf(shelf: Shelf, folder: string, effects: Effects): Promise<void> {
  const page = shelfPage(shelf, await readStyles(effects), effects.clientScript);
  const files = [
    { path: PAGE, content: () => page },
    { path: DATA, content: () => `${JSON.stringify(shelf, undefined, 1)}\n` },
  ];
  await writeFolder(files, folder, effects);
}

/**
 * Marks a place as that of an index before anything else is in it, in words that hold where the run is broken off. An index that stands there stays
 * until the next is whole.
 */
export async function beginShelf(shelf: Shelf, folder: string, effects: Effects): Promise<void> {
  const { marker } = await inspectPlace(effects.disk, folder);
  if (marker === undefined) await writeShelf({ ...shelf, isUnfinished: true }, folder, effects);
}

/** The index in a folder; undefined where there is none. Throws an InputError where what is there is none of ours. */
export async function readShelf(folder: string, { disk }: Pick<Effects, 'disk'>): Promise<Shelf | undefined> {
  const path = join(folder, DATA);
  if ((await disk.status(path)) === undefined) return undefined;
  const bytes = await disk.read(path);
  try {
    return shelfSchema.parse(JSON.parse(new TextDecoder().decode(bytes)));
  } catch {
    const message = `“${path}” is no index that this version of the program wrote: write it anew.`;
    throw usageError('shelf-unreadable', message);
  }
}
