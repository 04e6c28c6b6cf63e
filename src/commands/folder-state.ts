/** What an input folder looks like from outside: enough to see that something in it has changed. */
import { dirname, join } from 'node:path';
import type { Disk } from '../model/effects.ts';
import { surveyFolder } from '../read/folder-survey.ts';

/**
 * Names, sizes and times of the files that a build would look at, as text: two equal texts mean that nothing changed.
 * `ignore` are absolute paths. '' where the folder cannot be listed.
 */
export async function folderState(folder: string, disk: Disk, ignore: readonly string[]): Promise<string> {
  const ignored = new Set(ignore);
  for (const path of ignore) ignored.add((await disk.realPath(path)) ?? path);
  const { files } = await surveyFolder(folder, disk, ignored);
  const lines = await Promise.all(
    files.map(async ({ path, absolutePath }) => {
      const status = await disk.status(absolutePath);
      return `${path}\t${String(status?.bytes ?? -1)}\t${String(status?.modifiedMs ?? 0)}`;
    }),
  );
  return lines.join('\n');
}

/** The folders in which the files of a state lie, as absolute paths, the whole folder first. */
export function foldersIn(folder: string, state: string): readonly string[] {
  const files = state.split('\n').map((line) => line.split('\t')[0] ?? '');
  return [...new Set([folder, ...files.map((path) => join(folder, dirname(path)))])];
}
