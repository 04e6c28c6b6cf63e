/** Writes a file of the archive so that it is there whole or not at all, also after a power cut. */
import { dirname } from 'node:path';
import type { Disk, Effects } from '../../model/effects.ts';
import { partName } from '../../read/archive/archive-layout.ts';

type Writing = Pick<Effects, 'disk' | 'runs'>;

/**
 * Writes beside the place and moves into it, once the disk has the bytes. What stood there before is replaced. The name is on the disk only
 * after `makeNamesLast`.
 */
export async function placeFile(path: string, content: string | Uint8Array, { disk, runs }: Writing): Promise<void> {
  const run = runs.begin();
  const unfinished = partName(path, run);
  try {
    await disk.writeLasting(unfinished, content);
    await disk.rename(unfinished, path);
  } catch (error) {
    await removeQuietly(disk, unfinished);
    throw error;
  } finally {
    runs.end(run);
  }
}

/** The same, and the name is on the disk as well when this returns: nothing that is written later outlives it. */
export async function putFile(path: string, content: string | Uint8Array, effects: Writing): Promise<void> {
  await placeFile(path, content, effects);
  await effects.disk.makeNamesLast(dirname(path));
}

/** Removes what the next build would remove as well; a disk that fails here must not hide why it failed before. */
export async function removeQuietly(disk: Disk, path: string): Promise<void> {
  await disk.remove(path).catch(() => undefined);
}
