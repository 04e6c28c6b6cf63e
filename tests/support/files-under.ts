/** What lies under a folder, however deep. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';

/** Paths of all files, from the folder on, sorted. */
export function filesUnder(folder: string): readonly string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)))
    .sort();
}

/** Their bytes, as letters of Latin-1, by path. */
export function contentsUnder(folder: string): ReadonlyMap<string, string> {
  return new Map(filesUnder(folder).map((path) => [path, readFileSync(join(folder, path), 'latin1')]));
}
