/** The folders below a root that are a piece each: what `build` would read as the stages of one. */
import { basename, join } from 'node:path';
import { slugOf } from '../../assemble/names/text.ts';
import type { Disk } from '../../model/effects.ts';
import { OUTPUT_MARKER } from '../../model/output-marker.ts';
import { shortHash } from '../../model/hashes.ts';
import { type Problem, usageError } from '../../problems/problem.ts';
import { inOrder } from '../../publish/shelf/shelf-entry.ts';
import { isIgnoredFolder, shownName, unlistedFolder, useOf } from '../../read/folder-survey.ts';

/** So many folders are looked into, so that a whole disk given by mistake ends in a sentence. */
const MOST_FOLDERS = 50_000;

export interface FoundPiece {
  /** Absolute. */
  readonly folder: string;
  /** Where it lies below the root, with `/`, safe to show. */
  readonly path: string;
  /** Name for its dossier: the same on every machine, and no other piece has it. */
  readonly id: string;
  /** Size of its MIDI files. */
  readonly bytes: number;
}

export interface FoundPieces {
  /** In the order of the index. */
  readonly pieces: readonly FoundPiece[];
  readonly problems: readonly Problem[];
}

/** What lies in a folder, as far as it matters here. */
interface Look {
  readonly folder: string;
  /** Names from the root on. */
  readonly names: readonly string[];
  readonly hasSettings: boolean;
  /** Absolute paths. */
  readonly midi: readonly string[];
  readonly below: readonly string[];
}

/**
 * A folder is a piece where MIDI files lie in it, or where folders with MIDI files do that are its stages: it has settings, or all of their names
 * begin with a number and none of them has settings of its own. What `build` would not look into, deeper than the stages, is looked through for
 * further pieces. Links are not followed. `ignore`: absolute paths. Throws an InputError where the root cannot be listed or holds too much.
 */
export async function findPieces(root: string, disk: Disk, ignore: readonly string[]): Promise<FoundPieces> {
  const pieces: FoundPiece[] = [];
  const problems: Problem[] = [];
  let looks = 0;

  const look = async (folder: string, names: readonly string[]): Promise<Look | undefined> => {
    looks += 1;
    if (looks > MOST_FOLDERS) {
      const message = `More than ${String(MOST_FOLDERS)} folders lie below “${root}”: give a folder nearer to the pieces.`;
      throw usageError('too-many-folders', message);
    }
    const entries = await disk.list(folder).catch(() => undefined);
    if (entries === undefined) {
      problems.push(unlistedFolder(names.map(shownName).join('/')));
      return undefined;
    }
    if (entries.some(({ name }) => name === OUTPUT_MARKER)) return undefined;
    const seen = entries.filter(({ name }) => !name.startsWith('.') && !ignore.includes(join(folder, name)));
    const files = seen.filter(({ kind }) => kind === 'file').map(({ name }) => name);
    return {
      folder,
      names,
      hasSettings: files.some((name) => useOf(name, true) === 'settings'),
      midi: files.filter((name) => useOf(name, true) === 'midi').map((name) => join(folder, name)),
      below: seen.filter(({ kind, name }) => kind === 'directory' && !isIgnoredFolder(name)).map(({ name }) => name),
    };
  };
  const looksBelow = async ({ folder, names, below }: Look): Promise<readonly Look[]> => {
    const found: Look[] = [];
    for (const name of below) {
      const one = await look(join(folder, name), [...names, name]);
      if (one !== undefined) found.push(one);
    }
    return found;
  };

  const walk = async (here: Look): Promise<void> => {
    const below = await looksBelow(here);
    const stages = below.filter(({ midi }) => midi.length > 0);
    const areStages =
      stages.length > 0 &&
      (here.hasSettings || stages.every(({ folder, hasSettings }) => /^\d/.test(basename(folder)) && !hasSettings));
    if (here.names.length > 0 && (here.midi.length > 0 || areStages)) {
      const hash = shortHash(here.names);
      let bytes = 0;
      for (const path of [here, ...stages].flatMap(({ midi }) => midi)) bytes += (await disk.status(path))?.bytes ?? 0;
      const slug = slugOf(here.names.at(-1) ?? '');
      const id = slug === '' ? hash : `${slug}-${hash}`;
      pieces.push({ folder: here.folder, path: here.names.map(shownName).join('/'), id, bytes });
      for (const stage of below) for (const deeper of await looksBelow(stage)) await walk(deeper);
    } else {
      for (const one of below) await walk(one);
    }
  };

  const top = await look(root, []);
  if (top === undefined) {
    const [problem] = problems;
    const message =
      problem === undefined
        ? `“${root}” is a dossier or an index of this program: give the folder that the pieces lie in.`
        : `“${root}” cannot be listed: check who may read it.`;
    throw usageError('root-unreadable', message);
  }
  if (top.midi.length > 0) {
    const message = `MIDI files that lie in the root itself belong to no piece below it: “build” makes a dossier of them.`;
    problems.push({ kind: 'remark', code: 'midi-in-root', file: '', message });
  }
  await walk(top);
  return { pieces: pieces.sort(inOrder), problems };
}
