/** What lies in the input folder, by kind, before anything is opened. Two levels deep; links that leave it are not followed. */
import { join } from 'node:path';
import type { DirectoryEntry, Disk } from '../model/effects.ts';
import { OUTPUT_MARKER } from '../model/output-marker.ts';
import { counted, listText } from '../model/words/plain-words.ts';
import { quoted } from './clean-text.ts';
import type { Problem } from '../problems/problem.ts';
import { compareNaturally } from './natural-order.ts';

/** Files met at most, so that a whole home folder given by mistake ends in a sentence. */
const MOST_FILES = 2000;

/** Folders of ours, and of programs, by their names in small letters. */
const IGNORED_FOLDERS: ReadonlySet<string> = new Set(['dossier', 'dossier-archive', 'node_modules', '__macosx']);

type FileUse = 'midi' | 'settings' | 'notes' | 'audio' | 'other';

export interface FoundFile {
  /** POSIX path relative to the input folder, safe to show. */
  readonly path: string;
  readonly name: string;
  readonly absolutePath: string;
  readonly use: FileUse;
  /** Name of the subfolder it lies in; undefined at the top. */
  readonly subfolder?: string;
}

export interface FolderSurvey {
  /** In natural order of path. */
  readonly files: readonly FoundFile[];
  /** Paths of what was met and not followed (links that leave the folder). */
  readonly notFollowed: readonly string[];
  readonly problems: readonly Problem[];
}

/** What a file is for, by its name alone. */
export function useOf(name: string, isAtTop: boolean): FileUse {
  if (/\.(mid|midi|smf)$/i.test(name)) return 'midi';
  if (/\.md$/i.test(name)) return 'notes';
  if (/\.(wav|aiff?|flac|mp3|m4a|og[ga]|opus)$/i.test(name)) return 'audio';
  if (isAtTop && /^dossier\.ya?ml$/i.test(name)) return 'settings';
  return 'other';
}

/** True of folders that are never read, by their name alone. */
export function isIgnoredFolder(name: string): boolean {
  return IGNORED_FOLDERS.has(name.toLowerCase());
}

/** A file name as it may be shown: composed letters, no control or direction characters. */
export function shownName(name: string): string {
  return name
    .normalize('NFC')
    .replaceAll(/[\p{Cc}\u061C\u200E\u200F\u202A-\u202E\u2066-\u2069]|\p{Surrogate}/gu, '\uFFFD');
}

export function withoutExtension(name: string): string {
  return name.replace(/\.[^.]*$/, '');
}

function remark(code: string, file: string, message: string): Problem {
  return { kind: 'remark', code, file, message };
}

/** What is told of a folder that cannot be listed. */
export function unlistedFolder(path: string): Problem {
  const message = 'This folder cannot be listed: check who may read it.';
  return { kind: 'refused', code: 'unreadable-folder', file: path, message };
}

/** Most links of one kind that a remark names. */
const MOST_NAMED_LINKS = 4;

/** One remark for all links that lead to the same kind of place. */
function linkRemark(where: string, paths: readonly string[]): Problem {
  const [first = ''] = paths;
  const code = 'link-not-followed';
  if (paths.length === 1)
    return remark(
      code,
      first,
      `This link leads ${where} and was not followed: put a copy here if it belongs to the arrangement.`,
    );
  const named = listText(
    paths.map((path) => quoted(path, 60)),
    MOST_NAMED_LINKS,
  );
  const message = `${String(paths.length)} links lead ${where} and were not followed (${named}): put copies here if they belong to the arrangement.`;
  return remark(code, '', message);
}

/** Lists the folder and its subfolders. `folder` is absolute; `ignore` are absolute paths with links resolved. */
export async function surveyFolder(folder: string, disk: Disk, ignore: ReadonlySet<string>): Promise<FolderSurvey> {
  const root = (await disk.realPath(folder)) ?? folder;
  const files: FoundFile[] = [];
  const notFollowed: string[] = [];
  const problems: Problem[] = [];
  /** Links that were not followed, by where they lead. */
  const links = new Map<string, string[]>();
  let isFull = false;

  /** The kind of an entry with a link to a file inside the folder followed; undefined for what is left out. */
  const kindOf = async (
    entry: DirectoryEntry,
    absolutePath: string,
    path: string,
  ): Promise<'file' | 'directory' | undefined> => {
    if (entry.kind === 'file' || entry.kind === 'directory') return entry.kind;
    if (entry.kind === 'other') {
      problems.push(remark('not-a-file', path, 'This is neither a file nor a folder and was left out.'));
      return undefined;
    }
    const target = await disk.realPath(absolutePath);
    const isInside = target?.startsWith(root.endsWith('/') || root.endsWith('\\') ? root : join(root, '/')) === true;
    const status = isInside ? await disk.status(absolutePath) : undefined;
    if (status?.kind === 'file') return 'file';
    notFollowed.push(path);
    const why = target === undefined ? 'nowhere' : isInside ? 'to a folder' : 'out of the folder';
    links.set(why, [...(links.get(why) ?? []), path]);
    return undefined;
  };

  const walk = async (absoluteFolder: string, subfolder: string | undefined, prefix: string): Promise<void> => {
    let entries: readonly DirectoryEntry[];
    try {
      entries = await disk.list(absoluteFolder);
    } catch {
      problems.push(unlistedFolder(prefix.replace(/\/$/, '')));
      return;
    }
    if (subfolder !== undefined && entries.some(({ name }) => name === OUTPUT_MARKER)) return;
    const visible = entries
      .filter(({ name }) => !name.startsWith('.'))
      .toSorted((a, b) => compareNaturally(a.name, b.name));
    let nested = 0;
    for (const entry of visible) {
      const absolutePath = join(absoluteFolder, entry.name);
      const name = shownName(entry.name);
      const path = prefix + name;
      if (ignore.has(absolutePath) || isFull) continue;
      const kind = await kindOf(entry, absolutePath, path);
      if (kind === 'file') {
        if (files.length === MOST_FILES) {
          isFull = true;
          problems.push(
            remark(
              'too-many-files',
              '',
              `The folder holds more than ${MOST_FILES} files; only the first in order of name were looked at.`,
            ),
          );
          continue;
        }
        const use = useOf(entry.name, subfolder === undefined);
        files.push({ path, name, absolutePath, use, ...(subfolder === undefined ? {} : { subfolder }) });
      } else if (kind === 'directory' && !isIgnoredFolder(entry.name)) {
        if (subfolder === undefined) await walk(absolutePath, name, `${path}/`);
        else nested++;
      }
    }
    if (nested > 0) {
      problems.push(
        remark(
          'nested-folder',
          prefix.replace(/\/$/, ''),
          `${counted(nested, 'folder')} inside this folder not looked into: a stage is one folder of MIDI files.`,
        ),
      );
    }
  };

  await walk(root, undefined, '');
  for (const [where, paths] of links) problems.push(linkRemark(where, paths));
  files.sort((a, b) => compareNaturally(a.path, b.path));
  return { files, notFollowed, problems };
}
