/** The real disk and terminal of Node, behind the `Effects` interface. */
import {
  copyFile,
  link,
  lstat,
  mkdir,
  open,
  readdir,
  readFile,
  realpath,
  rename,
  rm,
  rmdir,
  stat,
  writeFile,
} from 'node:fs/promises';
import type { Stats } from 'node:fs';
import { readFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Disk, DirectoryEntry, Effects } from './model/effects.ts';
import { boundingHeap, tuneEngine } from './node-engine.ts';
import { nodeRuns } from './node-runs.ts';
import { systemCode } from './problems/disk-failure.ts';
import { usageError } from './problems/problem.ts';

/** What the codes of the operating system mean to a person (POSIX errno names as Node gives them). */
const REASONS: Readonly<Record<string, string>> = {
  EACCES: 'permission was denied',
  EPERM: 'the system does not permit it',
  EROFS: 'the disk is read-only',
  ENOSPC: 'the disk is full',
  EDQUOT: 'the disk quota is used up',
  ENOTDIR: 'a part of the path is a file, not a folder',
  EEXIST: 'something of that name is there already',
  ENAMETOOLONG: 'the name is too long',
  EBUSY: 'it is in use by another program',
  ENOTEMPTY: 'the folder is not empty',
  ENOENT: 'no file or folder can be made there',
  EXDEV: 'it is on another disk',
  EINVAL: 'the system does not take such a name there',
  EISDIR: 'it is a folder',
  EIO: 'the disk reports an error',
  ENOSYS: 'the disk does not offer it',
  ENOTSUP: 'the disk does not offer it',
  ELOOP: 'links lead in a circle',
  EMFILE: 'too many files are open',
  ENFILE: 'too many files are open',
};

/** Runs a writing operation; a refusal by the operating system becomes a sentence for the user. */
export async function writing<T>(
  path: string,
  operation: () => Promise<T>,
  advice = 'choose another place with --out',
): Promise<T> {
  try {
    return await operation();
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : '';
    const reason = REASONS[code];
    if (reason === undefined) throw error;
    throw usageError('cannot-write', `“${path}” cannot be written because ${reason}: ${advice}.`);
  }
}

/**
 * Makes a folder and those above it. The recursive `mkdir` of Node 20 never ends where a folder that is there takes no new one and says that it is
 * absent (`/proc`). `mode`: who may do what there, in the manner of POSIX; without it as the system has it.
 */
export async function makeFolders(path: string, mode?: number): Promise<void> {
  try {
    await mkdir(path, { mode });
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? error.code : '';
    const isFolder = async (at: string): Promise<boolean> =>
      (await stat(at).catch(() => undefined))?.isDirectory() ?? false;
    if (code === 'EEXIST' && (await isFolder(path))) return;
    const above = dirname(path);
    if (code !== 'ENOENT' || above === path || (await isFolder(above))) throw error;
    await makeFolders(above);
    await makeFolders(path, mode);
  }
}

/** Systems and disks without an order to do so for folders refuse it in one of these ways; they keep their names by themselves, or never. */
const NOT_OFFERED: ReadonlySet<string> = new Set(['EINVAL', 'ENOTSUP', 'ENOSYS', 'EPERM', 'EISDIR', 'EACCES', 'EBADF']);

async function syncNames(folder: string): Promise<void> {
  try {
    const opened = await open(folder, 'r');
    await opened.sync().finally(() => opened.close());
  } catch (error) {
    if (!NOT_OFFERED.has(systemCode(error) ?? '')) throw error;
  }
}

function statusOf(found: Stats): NonNullable<Awaited<ReturnType<Disk['status']>>> {
  return {
    kind: found.isFile() ? 'file' : found.isDirectory() ? 'directory' : 'other',
    bytes: found.size,
    modifiedMs: found.mtimeMs,
  };
}

/** Disk access of Node; every method is described at the interface. */
export const nodeDisk: Disk = {
  list: async (path) =>
    (await readdir(path, { withFileTypes: true })).map((entry): DirectoryEntry => {
      const kind = entry.isSymbolicLink()
        ? 'link'
        : entry.isDirectory()
          ? 'directory'
          : entry.isFile()
            ? 'file'
            : 'other';
      return { name: entry.name, kind };
    }),
  status: async (path) => {
    try {
      return statusOf(await stat(path));
    } catch (error) {
      // Nobody may take a disk that fails for a place where nothing is.
      if (systemCode(error) === 'EIO') throw error;
      // A dangling link is there, but leads nowhere; what is no link has come between the two looks.
      const found = await lstat(path).catch(() => undefined);
      if (found === undefined) return undefined;
      return found.isSymbolicLink() ? { kind: 'other', bytes: 0 } : statusOf(found);
    }
  },
  realPath: async (path) => realpath(path).catch(() => undefined),
  read: boundingHeap((path) => readFile(path)),
  readPart: async (path, from, length) => {
    const file = await open(path, 'r');
    try {
      const { buffer, bytesRead } = await file.read(Buffer.allocUnsafe(length), 0, length, from);
      return buffer.subarray(0, bytesRead);
    } finally {
      await file.close();
    }
  },
  write: (path, content) => writing(path, () => writeFile(path, content)),
  writeLasting: (path, content) => writing(path, () => writeFile(path, content, { flush: true })),
  makeNamesLast: (folder) => writing(folder, () => syncNames(folder)),
  create: (path, content) => writing(path, () => writeFile(path, content, { flag: 'wx' }), 'nothing was changed'),
  makeFolder: async (path) => {
    await writing(path, () => makeFolders(path));
  },
  rename: (from, to) => writing(to, () => rename(from, to)),
  keepCopy: (from, to) => writing(to, () => link(from, to).catch(() => copyFile(from, to))),
  remove: (path) => writing(path, () => rm(path, { recursive: true, force: true })),
  removeEmptyFolder: async (path) => {
    // Whatever keeps it from going, an empty folder that stays does no harm.
    await rmdir(path).catch(() => undefined);
  },
};

/** Work under way in another working directory, and the one to go back to; undefined where that is no longer there. */
let awayFrom: string | undefined;
let awayCount = 0;

/** Undefined where the folder has been removed. */
function workingDirectory(): string | undefined {
  try {
    return process.cwd();
  } catch {
    return undefined;
  }
}

/** The working directory apart from such work; where it has been removed, the root. */
export function ownWorkingDirectory(): string {
  return (awayCount === 0 ? workingDirectory() : awayFrom) ?? '/';
}

function goBack(folder: string | undefined): void {
  if (folder === undefined) return;
  try {
    process.chdir(folder);
  } catch {
    // It was removed meanwhile, which is no reason to throw away what was made: all paths are absolute.
  }
}

/** See the interface. The way back is taken when the last such work has ended. */
async function standingIn<T>(folder: string, work: () => Promise<T>): Promise<T> {
  if (awayCount === 0) awayFrom = workingDirectory();
  process.chdir(folder);
  awayCount += 1;
  try {
    return await work();
  } finally {
    awayCount -= 1;
    if (awayCount === 0) goBack(awayFrom);
  }
}

/** How a user, a closing terminal and the system ask a program to end. */
const END_SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/** See the interface. A second signal ends the program at once. */
async function withoutInterruption<T>(work: (isEndWanted: () => boolean) => Promise<T>): Promise<T> {
  let wanted: NodeJS.Signals | undefined;
  const stopListening = (): void => {
    for (const signal of END_SIGNALS) process.off(signal, note);
  };
  const note = (signal: NodeJS.Signals): void => {
    if (wanted !== undefined) {
      stopListening();
      process.kill(process.pid, signal);
    }
    wanted = signal;
  };
  for (const signal of END_SIGNALS) process.on(signal, note);
  try {
    return await work(() => wanted !== undefined);
  } finally {
    stopListening();
    if (wanted !== undefined) process.kill(process.pid, wanted);
  }
}

/** Disk, terminal and resources of the running program. `packageRoot` is one level above this file, compiled or not. */
export function nodeEffects(): Effects {
  tuneEngine();
  // Eleventy would start a thread that watches imported modules for changes; the templates import none.
  process.env['ELEVENTY_SKIP_ESM_RESOLVER'] ??= '1';
  const packageRoot = fileURLToPath(new URL('..', import.meta.url));
  return {
    disk: nodeDisk,
    terminal: {
      out: (text) => process.stdout.write(text),
      err: (text) => process.stderr.write(text),
      isInteractive: process.stderr.isTTY,
    },
    packageRoot,
    clientScript: readFileSync(fileURLToPath(new URL('../dist/client.js', import.meta.url)), 'utf8'),
    runs: nodeRuns(),
    withoutInterruption,
    standingIn,
  };
}
