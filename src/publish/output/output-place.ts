/** What stands where a dossier is to go: nothing, a dossier of ours with or without files of others, or something that is not ours. */
import { dirname, join } from 'node:path';
import type { DirectoryEntry, Disk } from '../../model/effects.ts';
import { OUTPUT_MARKER } from '../../model/output-marker.ts';
import { listText } from '../../model/words/plain-words.ts';
import type { InputError } from '../../problems/problem.ts';
import { usageError } from '../../problems/problem.ts';
import { WORK_NAME } from './work-names.ts';

/** First line of the marker; after it come our files, one a line, so that others are told apart. */
const MARKER_TITLE = 'arrangement-dossier output 1';

const MOST_NAMED = 3;

/** Text of the marker for these files. */
export function markerText(paths: Iterable<string>): string {
  return [MARKER_TITLE, ...[...paths].sort()].join('\n');
}

/** The files that a marker lists. */
export function listedIn(marker: string): ReadonlySet<string> {
  return new Set(marker.split('\n').slice(1));
}

/** One sentence about the output folder. */
export function refuse(folder: string, code: string, message: string): InputError {
  return usageError(code, `“${folder}” ${message}`);
}

/** The folders on the way to `place` that are not there yet, the outermost first, `place` itself last. */
export async function missingFolders(disk: Disk, place: string): Promise<readonly string[]> {
  const missing: string[] = [];
  for (let path = place; (await disk.status(path)) === undefined && dirname(path) !== path; path = dirname(path)) {
    missing.unshift(path);
  }
  return missing;
}

export interface Tree {
  /** Paths of files and links below the folder, with `/`. */
  readonly files: ReadonlySet<string>;
  readonly folders: ReadonlySet<string>;
}

/** Entries of a folder; none where it has gone meanwhile, as other builds take their own away. */
async function entriesIn(disk: Disk, folder: string): Promise<readonly DirectoryEntry[]> {
  try {
    return await disk.list(folder);
  } catch (error) {
    if ((await disk.status(folder)) === undefined) return [];
    throw error;
  }
}

/** All that is in a folder, except our unfinished work at its top. Links are not followed. */
export async function treeOf(disk: Disk, folder: string): Promise<Tree> {
  const files = new Set<string>();
  const folders = new Set<string>();
  const walk = async (below: string): Promise<void> => {
    for (const { name, kind } of await entriesIn(disk, join(folder, below))) {
      if (below === '' && WORK_NAME.test(name)) continue;
      const path = below === '' ? name : `${below}/${name}`;
      if (kind !== 'directory') files.add(path);
      else {
        folders.add(path);
        await walk(path);
      }
    }
  };
  await walk('');
  return { files, folders };
}

export interface OutputPlace extends Tree {
  /** Text of the marker; undefined where no dossier is there yet. */
  readonly marker: string | undefined;
  /** Those of the files that are ours. */
  readonly ours: ReadonlySet<string>;
}

const NOTHING: OutputPlace = { files: new Set(), folders: new Set(), marker: undefined, ours: new Set() };

/** What stands there. Throws an InputError where it must not be touched. */
export async function inspectPlace(disk: Disk, folder: string): Promise<OutputPlace> {
  const status = await disk.status(folder);
  if (status === undefined) return NOTHING;
  if (status.kind !== 'directory') {
    throw refuse(
      folder,
      'output-not-a-folder',
      'is not a folder, so no dossier can be written there: choose another place with --out.',
    );
  }
  const unreadable = refuse(
    folder,
    'output-unreadable',
    'or a folder in it cannot be listed: check who may read it, or choose another place with --out.',
  );
  const all = await entriesIn(disk, folder).catch(() => undefined);
  if (all === undefined) throw unreadable;
  const entries = all.filter(({ name }) => !WORK_NAME.test(name));
  if (entries.length === 0) return NOTHING;
  if (!entries.some(({ name, kind }) => name === OUTPUT_MARKER && kind === 'file')) {
    throw refuse(
      folder,
      'output-not-ours',
      'holds files that this program did not write, and it never overwrites those: choose another place with --out or empty the folder.',
    );
  }
  const bytes = await disk.read(join(folder, OUTPUT_MARKER)).catch(() => undefined);
  const marker = new TextDecoder().decode(bytes);
  if (marker.split('\n')[0] !== MARKER_TITLE) {
    throw refuse(
      folder,
      'output-not-ours',
      `holds a file ${OUTPUT_MARKER} that this version of the program did not write: choose another place with --out.`,
    );
  }
  try {
    const tree = await treeOf(disk, folder);
    const listed = listedIn(marker);
    return { ...tree, marker, ours: new Set([...tree.files].filter((path) => listed.has(path))) };
  } catch {
    throw unreadable;
  }
}

/** Throws an InputError where something of somebody else has the name of a file, or of a folder, that the dossier needs. */
export async function checkNames(
  disk: Disk,
  folder: string,
  { files, folders, ours }: OutputPlace,
  wanted: readonly string[],
): Promise<void> {
  const taken = new Set<string>();
  for (const path of wanted) {
    const names = path.split('/');
    const above = names.slice(1).map((_, index) => names.slice(0, index + 1).join('/'));
    for (const parent of above) if (files.has(parent)) taken.add(parent);
    if (folders.has(path) || (files.has(path) && !ours.has(path))) taken.add(path);
    // A disk that takes large and small letters for one knows a name that the list does not have.
    else if (!files.has(path) && !above.some((parent) => files.has(parent))) {
      if ((await disk.status(join(folder, path))) !== undefined) taken.add(path);
    }
  }
  if (taken.size === 0) return;
  const named = listText(
    [...taken].sort().map((path) => `“${path}”`),
    MOST_NAMED,
  );
  throw refuse(
    folder,
    'output-name-taken',
    `holds ${named}, which this program did not write and whose name its own files have: move that away, or choose another place with --out.`,
  );
}
