/** When the newest of some files was last changed: for the archive alone, as copies of a folder differ in it. */
import type { Effects } from '../../model/effects.ts';

/** The day in universal time, as 2026-11-29; undefined where the disk knows none. */
export async function newestDay(
  paths: readonly string[],
  { disk }: Pick<Effects, 'disk'>,
): Promise<string | undefined> {
  let newest = -Infinity;
  for (const path of paths) {
    const status = await disk.status(path).catch(() => undefined);
    newest = Math.max(newest, status?.modifiedMs ?? -Infinity);
  }
  // eslint-disable-next-line no-restricted-syntax -- a moment that a file has, not the clock
  const day = Number.isFinite(newest) ? new Date(newest).toISOString().slice(0, 10) : '';
  return /^\d{4}-\d{2}-\d{2}$/.test(day) ? day : undefined;
}
