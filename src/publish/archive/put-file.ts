/** Writes a file of the archive so that it is there whole or not at all. */
import type { Disk, Effects } from '../../model/effects.ts';

/** Writes beside the place and moves into it. What stood there before is replaced. */
export async function putFile(
  path: string,
  content: string | Uint8Array,
  { disk, runs }: Pick<Effects, 'disk' | 'runs'>,
): Promise<void> {
  const run = runs.begin();
  const unfinished = `${path}.${run}.part`;
  try {
    await disk.write(unfinished, content);
    await disk.rename(unfinished, path);
  } catch (error) {
    await removeQuietly(disk, unfinished);
    throw error;
  } finally {
    runs.end(run);
  }
}

/** Removes what the next build would remove as well; a disk that fails here must not hide why it failed before. */
export async function removeQuietly(disk: Disk, path: string): Promise<void> {
  await disk.remove(path).catch(() => undefined);
}
