/** A folder in memory, for tests of what reads one. Paths are POSIX and absolute. */
import { posix } from 'node:path';
import type { DirectoryEntry, Disk, Runs } from '../../src/model/effects.ts';

export type MemoryEntry =
  | string
  | Uint8Array
  | { readonly link: string }
  | { readonly unreadable: true }
  /** A size without the bytes, for files that must not be read. */
  | { readonly bytes: number };

/** Disk over a map from absolute path to content; folders are those that the paths name. Writing is refused. */
export function memoryDisk(entries: Readonly<Record<string, MemoryEntry>>): Disk {
  const folders = new Set<string>(['/']);
  for (const path of Object.keys(entries)) {
    for (let folder = posix.dirname(path); folder !== '/'; folder = posix.dirname(folder)) folders.add(folder);
  }
  const entryAt = (path: string): MemoryEntry | undefined => (Object.hasOwn(entries, path) ? entries[path] : undefined);
  const resolved = (path: string): string | undefined => {
    let at = posix.normalize(path);
    for (let hops = 0; hops < 8; hops++) {
      const entry = entryAt(at);
      if (typeof entry === 'object' && 'link' in entry) at = posix.resolve(posix.dirname(at), entry.link);
      else return entry !== undefined || folders.has(at) ? at : undefined;
    }
    return undefined;
  };
  const kindOf = (path: string): DirectoryEntry['kind'] => {
    const entry = entryAt(path);
    if (entry === undefined) return 'directory';
    return typeof entry === 'object' && 'link' in entry ? 'link' : 'file';
  };
  const refuse = (): Promise<never> => Promise.reject(new Error('this disk is for reading only'));
  const read = (path: string): Promise<Uint8Array> => {
    const entry = entryAt(resolved(path) ?? '');
    if (typeof entry === 'string') return Promise.resolve(new TextEncoder().encode(entry));
    return entry instanceof Uint8Array
      ? Promise.resolve(entry)
      : Promise.reject(new Error('EACCES: permission denied'));
  };
  return {
    list: (path) => {
      const prefix = path === '/' ? '/' : `${path}/`;
      const paths = [...Object.keys(entries), ...folders].filter((other) => other !== path && other.startsWith(prefix));
      const names = new Set(paths.map((other) => other.slice(prefix.length).split('/')[0] ?? ''));
      return Promise.resolve([...names].map((name) => ({ name, kind: kindOf(prefix + name) })).reverse());
    },
    status: (path) => {
      const real = resolved(path);
      if (real === undefined) return Promise.resolve(undefined);
      const entry = entryAt(real);
      if (entry === undefined) return Promise.resolve({ kind: 'directory', bytes: 0 });
      if (typeof entry === 'string') return Promise.resolve({ kind: 'file', bytes: Buffer.byteLength(entry) });
      if (entry instanceof Uint8Array) return Promise.resolve({ kind: 'file', bytes: entry.length });
      return Promise.resolve({ kind: 'file', bytes: 'bytes' in entry ? entry.bytes : 0 });
    },
    realPath: (path) => Promise.resolve(resolved(path)),
    read,
    readPart: async (path, from, length) => (await read(path)).subarray(from, from + length),
    write: refuse,
    create: refuse,
    makeFolder: refuse,
    rename: refuse,
    keepCopy: refuse,
    writeLasting: refuse,
    makeNamesLast: refuse,
    remove: refuse,
    removeEmptyFolder: refuse,
  };
}

/** A disk that has one folder: these files, by their paths inside it. */
export function diskOfFolder(folder: string, files: Iterable<readonly [string, string | Uint8Array]>): Disk {
  return memoryDisk(Object.fromEntries([...files].map(([path, content]) => [`${folder}/${path}`, content])));
}

/** Nobody is at work where nothing is written. */
export const noRuns: Runs = {
  begin: () => '1',
  end: () => undefined,
  isOver: () => true,
  isElsewhere: () => false,
  wait: () => Promise.resolve(),
};
