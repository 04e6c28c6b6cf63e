import { readdirSync } from 'node:fs';
import { join, resolve } from 'node:path';

/** Folders under sample-input that hold an arrangement. */
export function sampleFolders(): string[] {
  const root = resolve('sample-input');
  return readdirSync(root, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => join(root, entry.name))
    .sort();
}
