/** Whether the kept files are what they were: each lies under the hash of its bytes. */
import { join } from 'node:path';
import type { Disk } from '../../model/effects.ts';
import { sha256Of } from '../../model/hashes.ts';
import { MOST_OBJECT_BYTES, OBJECTS } from './archive-layout.ts';

/** What became of a kept file, as a sentence goes on after “it”. */
export type Damage = 'is missing' | 'is empty' | 'was changed or cut short' | 'cannot be read';

/** The bytes of a kept file, or what is wrong with it. Links are not followed. */
export async function readObject(disk: Disk, folder: string, sha256: string): Promise<Uint8Array | Damage> {
  const path = join(folder, OBJECTS, sha256);
  const status = await disk.status(path);
  if (status === undefined) return 'is missing';
  if (status.kind !== 'file' || status.bytes > MOST_OBJECT_BYTES) return 'was changed or cut short';
  const bytes = await disk.read(path).catch(() => undefined);
  if (bytes === undefined) return 'cannot be read';
  if (sha256Of(bytes) === sha256) return bytes;
  return bytes.length === 0 ? 'is empty' : 'was changed or cut short';
}

export interface CheckedObjects {
  /** By hash. */
  readonly damage: ReadonlyMap<string, Damage>;
  /** Bytes of damaged ones that another file of the folder still has, as a synchronised folder keeps two. */
  readonly spare: ReadonlyMap<string, Uint8Array>;
}

/** Reads each of these objects once. */
export async function checkObjects(disk: Disk, folder: string, hashes: ReadonlySet<string>): Promise<CheckedObjects> {
  const path = join(folder, OBJECTS);
  const entries = (await disk.status(path))?.kind === 'directory' ? await disk.list(path) : [];
  const files = new Set(entries.filter(({ kind }) => kind === 'file').map(({ name }) => name));
  const damage = new Map<string, Damage>();
  const spare = new Map<string, Uint8Array>();
  for (const sha256 of hashes) {
    const isThere = entries.some(({ name }) => name === sha256);
    const bytes = files.has(sha256)
      ? await readObject(disk, folder, sha256)
      : isThere
        ? 'was changed or cut short'
        : 'is missing';
    if (typeof bytes !== 'string') continue;
    damage.set(sha256, bytes);
    for (const name of files) {
      if (name === sha256 || !name.includes(sha256) || name.endsWith('.part')) continue;
      const copy = await disk.read(join(path, name)).catch(() => undefined);
      if (copy !== undefined && sha256Of(copy) === sha256) spare.set(sha256, copy);
    }
  }
  return { damage, spare };
}
