/**
 * The real disk as a power cut may leave it at the worst: bytes that nobody made last are gone from their file, and a name that was made, or
 * changed, in a folder is as it was unless the names of that folder were made to last after it (POSIX fsync, of files and of directories).
 */
import { existsSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import type { Disk } from '../../src/model/effects.ts';
import { quickDisk } from './effects.ts';

export interface CuttableDisk {
  readonly disk: Disk;
  /** The power fails. */
  readonly cut: () => void;
}

interface NewName {
  readonly folder: string;
  readonly undo: () => void;
}

/** A disk that remembers what would not outlive a power cut. */
export function cuttableDisk(): CuttableDisk {
  let names: readonly NewName[] = [];
  const unsaved = new Set<string>();
  const named = (path: string): void => {
    const before = existsSync(path) ? readFileSync(path) : undefined;
    const undo = (): void => {
      if (before === undefined) rmSync(path, { recursive: true, force: true });
      else writeFileSync(path, before);
    };
    names = [...names, { folder: dirname(path), undo }];
  };
  const written = async (path: string, write: () => Promise<void>, isLasting: boolean): Promise<void> => {
    if (!existsSync(path)) named(path);
    await write();
    if (isLasting) unsaved.delete(path);
    else unsaved.add(path);
  };
  const disk: Disk = {
    ...quickDisk,
    write: (path, content) => written(path, () => quickDisk.write(path, content), false),
    create: (path, content) => written(path, () => quickDisk.create(path, content), false),
    writeLasting: (path, content) => written(path, () => quickDisk.write(path, content), true),
    makeFolder: async (path) => {
      let first = path;
      while (!existsSync(dirname(first))) first = dirname(first);
      if (!existsSync(first)) named(first);
      await quickDisk.makeFolder(path);
    },
    rename: async (from, to) => {
      named(to);
      await quickDisk.rename(from, to);
      if (unsaved.delete(from)) unsaved.add(to);
    },
    makeNamesLast: (folder) => {
      names = names.filter((name) => name.folder !== folder);
      return Promise.resolve();
    },
  };
  const cut = (): void => {
    for (const path of unsaved) if (existsSync(path)) truncateSync(path);
    for (const { undo } of [...names].reverse()) undo();
  };
  return { disk, cut };
}
