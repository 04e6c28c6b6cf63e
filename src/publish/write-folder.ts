/**
 * Writes the dossier into a hidden folder inside its place and, when it is complete, moves its files to where they belong. A failed
 * build leaves the last good dossier, a folder that is not ours is never written to, and what somebody else keeps in ours is
 * never moved, not for a moment.
 */
import { basename, dirname, join } from 'node:path';
import type { Disk, Effects } from '../model/effects.ts';
import { systemCode } from '../problems/disk-failure.ts';
import { InputError, type Problem } from '../problems/problem.ts';
import { checkNames, inspectPlace, missingFolders, refuse } from './output/output-place.ts';
import { discard, putAllBack, recoverOutput, removePartials } from './output/recover.ts';
import { newFilesIn, putBack, replaceFiles } from './output/replace-files.ts';
import { takeTurn } from './output/take-turn.ts';
import { partialName, replacingName } from './output/work-names.ts';

/** A file of text or of bytes. */
export interface AnyFile {
  /** POSIX path inside the output folder. */
  readonly path: string;
  /** Asked for once, when the file is written: the files of a long piece need not all be held at once. */
  readonly content: () => string | Uint8Array | Promise<string | Uint8Array>;
  /** The same text in pieces, where it is long: asked for instead of the content where a file is written. */
  readonly pieces?: () => Iterable<string>;
}

/** A file of text. */
export interface OutputFile extends AnyFile {
  readonly content: () => string;
}

/** The part of a path that leads into our unfinished work. */
const HIDDEN_PATH = /(?:[\\/]\.[^\\/”]*)?\.?(?:partial|replacing)-[0-9a-f-]+(?:[\\/](?:new|old|marker|before))?/g;

type Writing = Pick<Effects, 'disk' | 'runs' | 'withoutInterruption'>;

/** Makes a hidden folder where the dossier will be written, and takes it away: what refuses that would refuse the dossier. */
async function tryToWrite(place: string, { disk, runs, withoutInterruption }: Writing): Promise<void> {
  const [first] = await missingFolders(disk, place);
  const run = runs.begin();
  const name = partialName(run);
  const path = first === undefined ? join(place, name) : join(dirname(first), `.${basename(first)}${name}`);
  try {
    await withoutInterruption(async () => {
      await disk.makeFolder(path);
      await disk.removeEmptyFolder(path);
    });
  } catch (error) {
    throw aboutPlace(error, place);
  } finally {
    runs.end(run);
  }
}

/** The same error in terms of the folder that the user knows; a disk that fails is no fault of ours. */
function aboutPlace(error: unknown, place: string): unknown {
  if (error instanceof InputError) {
    const inWords = (message: string): string => message.replace(HIDDEN_PATH, '');
    return new InputError(error.problems.map((problem) => ({ ...problem, message: inWords(problem.message) })));
  }
  const code = systemCode(error);
  if (code === undefined) return error;
  return refuse(
    place,
    'cannot-write',
    `cannot be written because the disk fails (${code}): choose another place with --out.`,
  );
}

/**
 * Whether a dossier may and can be written to this folder (absolute path); to be asked before any work. Puts right what killed builds
 * have left there and returns what there is to say about it. Throws an InputError where nothing may be written, or where somebody
 * else's file has one of the names `wanted`.
 */
export async function checkOutputFolder(
  folder: string,
  effects: Writing,
  wanted: readonly string[] = [],
): Promise<readonly Problem[]> {
  const place = (await effects.disk.realPath(folder)) ?? folder;
  try {
    await inspectPlace(effects.disk, place);
    const remarks = await recoverOutput(place, effects);
    await tryToWrite(place, effects);
    await checkNames(effects.disk, place, await inspectPlace(effects.disk, place), wanted);
    return remarks;
  } catch (error) {
    throw aboutPlace(error, place);
  }
}

/**
 * Whether names of the dossier are free or ours in its folder (an absolute path), once it is known which there will be: the names
 * `wanted`, and any for which `isOurs` holds. Throws an InputError that names those that are somebody else's.
 */
export async function checkOutputNames(
  folder: string,
  { disk }: Pick<Effects, 'disk'>,
  wanted: readonly string[],
  isOurs: (name: string) => boolean,
): Promise<void> {
  const place = (await disk.realPath(folder)) ?? folder;
  try {
    const found = await inspectPlace(disk, place);
    await checkNames(disk, place, found, [...wanted, ...[...found.files, ...found.folders].filter(isOurs)]);
  } catch (error) {
    throw aboutPlace(error, place);
  }
}

async function writeAll(
  disk: Disk,
  folder: string,
  files: readonly AnyFile[],
  isEndWanted: () => boolean,
): Promise<number> {
  const folders = new Set([folder, ...files.map((file) => dirname(join(folder, file.path)))]);
  for (const path of folders) await disk.makeFolder(path);
  let bytes = 0;
  for (const file of files) {
    if (isEndWanted()) throw new Error('interrupted while the dossier was being written');
    const made = await file.content();
    const content = typeof made === 'string' ? new TextEncoder().encode(made) : made;
    bytes += content.length;
    await disk.write(join(folder, file.path), content);
  }
  return bytes;
}

/** Moves what was written into its place. Whatever fails, the place is as it was before. */
async function replace(place: string, run: string, paths: readonly string[], effects: Writing): Promise<void> {
  const { disk } = effects;
  await takeTurn(place, run, effects);
  const work = join(place, replacingName(run));
  await putAllBack(place, effects);
  const found = await inspectPlace(disk, place);
  await checkNames(disk, place, found, paths);
  try {
    await replaceFiles(disk, place, work, paths, found);
    // From here on nothing of the old dossier is kept, and the new one counts.
    await disk.rename(work, join(place, partialName(run)));
  } catch (error) {
    try {
      await putBack(disk, place, work);
    } catch {
      throw halfWritten(place, error);
    }
    throw error;
  }
}

function halfWritten(place: string, error: unknown): InputError {
  const reason = (error instanceof Error ? error.message : String(error)).replace(/\.$/, '');
  return refuse(
    place,
    'output-half-written',
    `has some files of the new dossier and some of the old, as the disk failed while they were moved and when they were to be put back (${reason}): build again, which puts it right.`,
  );
}

/**
 * Writes the files as the dossier in the folder (an absolute path): all of them or none. Returns their size in bytes. Throws an
 * InputError where something stands there that is not ours or the disk refuses.
 */
export async function writeFolder(files: readonly AnyFile[], folder: string, effects: Writing): Promise<number> {
  const { disk, runs } = effects;
  const place = (await disk.realPath(folder)) ?? folder;
  return effects.withoutInterruption(async (isEndWanted) => {
    const run = runs.begin();
    let missing: readonly string[] = [];
    try {
      await inspectPlace(disk, place);
      missing = await missingFolders(disk, place);
      const partial = join(place, partialName(run));
      const bytes = await writeAll(disk, newFilesIn(partial), files, isEndWanted);
      await replace(
        place,
        run,
        files.map(({ path }) => path),
        effects,
      );
      await removePartials(place, partialName(run), effects).catch(() => undefined);
      return bytes;
    } catch (error) {
      throw aboutPlace(error, place);
    } finally {
      // What refuses to go is of no use to anybody and goes with the next build.
      await discard(disk, place, run).catch(() => undefined);
      for (const path of [...missing].reverse()) await disk.removeEmptyFolder(path).catch(() => undefined);
      runs.end(run);
    }
  });
}
