/**
 * Writes the dossier beside its place and swaps it in when it is complete. A failed build leaves the last good dossier,
 * a folder that is not ours is never overwritten, and what somebody put into our folder is kept.
 */
import { basename, dirname, join } from 'node:path';
import type { Disk, Effects } from '../model/effects.ts';
import { OUTPUT_MARKER } from '../model/output-marker.ts';
import { InputError } from '../problems/problem.ts';

/** First line of the marker; after it come our files, one a line, so that others are told apart. */
const MARKER_TITLE = 'arrangement-dossier output 1';

export interface OutputFile {
  /** POSIX path inside the output folder. */
  readonly path: string;
  /** Asked for once, when the file is written: the files of a long piece need not all be held at once. */
  readonly content: () => string;
}

function refuse(folder: string, code: string, message: string): InputError {
  return new InputError([{ kind: 'usage', code, file: '', message: `“${folder}” ${message}` }]);
}

async function filesUnder(disk: Disk, folder: string, below = ''): Promise<readonly string[]> {
  const entries = await disk.list(join(folder, below));
  const found: string[] = [];
  for (const entry of [...entries].sort((a, b) => (a.name < b.name ? -1 : 1))) {
    const path = below === '' ? entry.name : `${below}/${entry.name}`;
    if (entry.kind === 'directory') found.push(...(await filesUnder(disk, folder, path)));
    else found.push(path);
  }
  return found;
}

type Place =
  | { readonly kind: 'free' }
  | { readonly kind: 'empty' }
  /** A dossier of ours; `strangers` are files in it that we did not write. */
  | { readonly kind: 'ours'; readonly strangers: readonly string[] };

/** What stands where the dossier is to go. Throws an InputError, which calls it `name`, where it must not be touched. */
async function inspect(disk: Disk, folder: string, name = folder): Promise<Place> {
  const status = await disk.status(folder);
  if (status === undefined) return { kind: 'free' };
  if (status.kind !== 'directory') {
    throw refuse(
      name,
      'output-not-a-folder',
      'is not a folder, so no dossier can be written there: choose another place with --out.',
    );
  }
  const entries = await disk.list(folder);
  if (entries.length === 0) return { kind: 'empty' };
  if (!entries.some((entry) => entry.name === OUTPUT_MARKER && entry.kind === 'file')) {
    throw refuse(
      name,
      'output-not-ours',
      'holds files that this program did not write, and it never overwrites those: choose another place with --out or empty the folder.',
    );
  }
  const [title, ...listed] = new TextDecoder().decode(await disk.read(join(folder, OUTPUT_MARKER))).split('\n');
  if (title !== MARKER_TITLE) {
    throw refuse(
      name,
      'output-not-ours',
      `holds a file ${OUTPUT_MARKER} that this version of the program did not write: choose another place with --out.`,
    );
  }
  const ours = new Set([...listed, OUTPUT_MARKER]);
  return { kind: 'ours', strangers: (await filesUnder(disk, folder)).filter((path) => !ours.has(path)) };
}

/** A name beside the folder that nothing has yet; hidden, so that a scan of the input folder does not see it. */
async function freeSibling(disk: Disk, folder: string, purpose: string, run: string): Promise<string> {
  for (let attempt = 0; ; attempt += 1) {
    const suffix = attempt === 0 ? '' : `-${String(attempt)}`;
    const path = join(dirname(folder), `.${basename(folder)}.${purpose}-${run}${suffix}`);
    if ((await disk.status(path)) === undefined) return path;
  }
}

async function writeAll(
  disk: Disk,
  folder: string,
  files: readonly OutputFile[],
  isEndWanted: () => boolean,
): Promise<number> {
  await disk.makeFolder(folder);
  const folders = new Set(files.map((file) => dirname(join(folder, file.path))));
  for (const path of folders) await disk.makeFolder(path);
  let bytes = 0;
  for (const file of files) {
    if (isEndWanted()) throw new Error('interrupted while the dossier was being written');
    const content = new TextEncoder().encode(file.content());
    bytes += content.length;
    await disk.write(join(folder, file.path), content);
  }
  const listed = files.map((file) => file.path).sort();
  await disk.write(join(folder, OUTPUT_MARKER), [MARKER_TITLE, ...listed].join('\n'));
  return bytes;
}

async function carryOver(disk: Disk, from: string, to: string, paths: readonly string[]): Promise<readonly string[]> {
  const left: string[] = [];
  for (const path of paths) {
    const target = join(to, path);
    if ((await disk.status(target)) !== undefined) {
      left.push(path);
      continue;
    }
    await disk.makeFolder(dirname(target));
    await disk.rename(join(from, path), target);
  }
  return left;
}

interface Previous {
  readonly folder: string;
  /** Files in it that we did not write. */
  readonly strangers: readonly string[];
}

/**
 * Puts the finished folder where the old one is; brings the old one back where that fails. The old one is looked at once
 * more when it has its new name and nobody else reaches it: writing took a while, and somebody may have used the folder.
 */
async function swap(disk: Disk, finished: string, folder: string, run: string): Promise<Previous> {
  const previous = await freeSibling(disk, folder, 'previous', run);
  await disk.rename(folder, previous);
  try {
    const found = await inspect(disk, previous, folder);
    await disk.rename(finished, folder);
    return { folder: previous, strangers: found.kind === 'ours' ? found.strangers : [] };
  } catch (error) {
    await disk.rename(previous, folder);
    throw error;
  }
}

/** Throws an InputError where nothing may be written to this folder; to be asked before the long work. */
export async function checkOutputFolder(disk: Disk, folder: string): Promise<void> {
  await inspect(disk, (await disk.realPath(folder)) ?? folder);
}

/** Writes the files as the whole content of the folder (an absolute path), at once. Returns their size in bytes. */
export async function writeFolder(
  files: readonly OutputFile[],
  folder: string,
  effects: Pick<Effects, 'disk' | 'runs' | 'withoutInterruption'>,
): Promise<number> {
  const { disk, runs } = effects;
  const run = runs.begin();
  const place = (await disk.realPath(folder)) ?? folder;
  await inspect(disk, place);
  await disk.makeFolder(dirname(place));
  const finished = await freeSibling(disk, place, 'partial', run);
  return effects.withoutInterruption(async (isEndWanted) => {
    try {
      const bytes = await writeAll(disk, finished, files, isEndWanted);
      if ((await disk.status(place)) === undefined) {
        await disk.rename(finished, place);
        return bytes;
      }
      const previous = await swap(disk, finished, place, run);
      const left = await carryOver(disk, previous.folder, place, previous.strangers);
      // A stranger whose name we now need ourselves stays where it is, with the old dossier around it.
      if (left.length === 0) await disk.remove(previous.folder);
      return bytes;
    } finally {
      await disk.remove(finished);
      runs.end(run);
    }
  });
}
