/** Where results are kept for later builds: the real folder behind `KeptStore`, and what tells one version of the program from another. */
import { createHash } from 'node:crypto';
import {
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
  type Dirent,
} from 'node:fs';
import { homedir } from 'node:os';
import { basename, dirname, isAbsolute, join, resolve } from 'node:path';
import type { KeptStore } from './commands/kept/kept-memory.ts';
import type { Runs } from './model/effects.ts';
import { makeFolders, writing } from './node-effects.ts';
import { usageError } from './problems/problem.ts';

/** Results that were not asked for longest go first when there is more than this: some six hundred pieces of five stages and twelve parts. */
const MOST_BYTES = 2 ** 30;

/** How much is left then, so that the next build need not clear up again. */
const LEFT_SHARE = 0.8;

/** A result, `ab/ADDRESS`, or one that is being written, `ab/ADDRESS.RUN.part`: whatever else lies there is not ours. */
const NAME = /^[0-9a-f]{64}(?:\.([0-9a-f-]+)\.part)?$/;
const FOLDER = /^[0-9a-f]{2}$/;

export interface NodeKeptStore extends KeptStore {
  /** Takes away what broken-off writing left and, where there is too much, what was not asked for longest. To be called at the end. */
  readonly clearUp: () => void;
}

/**
 * The folder for what programs keep and can make again, where nothing else is said: `XDG_CACHE_HOME` or `~/.cache` (XDG Base Directory
 * Specification 0.8), and what stands for it on other systems. A relative path counts as none, as that specification asks.
 */
export function usualKeptFolder(
  environment: Readonly<Record<string, string | undefined>> = process.env,
  platform: NodeJS.Platform = process.platform,
  home: string = homedir(),
): string {
  const named = platform === 'win32' ? environment['LOCALAPPDATA'] : environment['XDG_CACHE_HOME'];
  const usual = platform === 'darwin' ? join(home, 'Library', 'Caches') : join(home, '.cache');
  return join(named !== undefined && isAbsolute(named) ? named : usual, 'arrangement-dossier');
}

/** Changes with everything in the program that a result depends on: code, templates, the versions of packages and of Node. */
export function versionOfProgram(packageRoot: string): string {
  const hash = createHash('sha256').update(`${process.version} ${process.arch}`);
  const add = (path: string): void => {
    hash.update(`\n${path}\n`).update(readFileSync(join(packageRoot, path)));
  };
  const addAll = (folder: string): void => {
    const entries = readdirSync(join(packageRoot, folder), { recursive: true, withFileTypes: true });
    const files = entries.filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name));
    for (const path of files.sort()) add(path.slice(packageRoot.length));
  };
  // Compiled, the first names the pieces that it loads by hashes of what is in them; else the sources run as they stand.
  if (basename(import.meta.dirname) === 'dist')
    for (const name of ['cli', 'client', 'stage-thread']) add(`dist/${name}.js`);
  else for (const folder of ['src', 'shared']) addAll(folder);
  add('package.json');
  addAll('templates');
  return hash.digest('hex');
}

/** What is in a folder; nothing where it cannot be listed. */
function entriesOf(folder: string): readonly Dirent[] {
  try {
    return readdirSync(folder, { withFileTypes: true });
  } catch {
    return [];
  }
}

/** Runs what may fail without harm, as others clear up too. */
function tried<Made>(work: () => Made): Made | undefined {
  try {
    return work();
  } catch {
    return undefined;
  }
}

/** True where nobody but the user can have written there: what is kept goes into pages as it is. */
function isOnlyOurs(folder: string): boolean {
  const { uid, mode } = statSync(folder);
  return process.getuid === undefined || (uid === process.getuid() && (mode & 0o022) === 0);
}

function clearUpIn(folder: string, runs: Runs, mostBytes: number): void {
  const below = entriesOf(folder).filter(({ name }) => FOLDER.test(name));
  const files = below.flatMap(({ name: above }) =>
    entriesOf(join(folder, above)).flatMap(({ name }) => {
      const found = NAME.exec(name);
      const path = join(folder, above, name);
      const status = found === null ? undefined : tried(() => statSync(path));
      return status === undefined ? [] : [{ path, run: found?.[1], bytes: status.size, usedMs: status.mtimeMs }];
    }),
  );
  for (const { path, run } of files) {
    if (run !== undefined && runs.isOver(run))
      tried(() => {
        rmSync(path, { force: true });
      });
  }
  let bytes = files.reduce((sum, file) => sum + file.bytes, 0);
  if (bytes <= mostBytes) return;
  for (const file of [...files].sort((one, other) => one.usedMs - other.usedMs)) {
    if (bytes <= mostBytes * LEFT_SHARE) return;
    tried(() => {
      rmSync(file.path, { force: true });
    });
    bytes -= file.bytes;
  }
}

/** Who may do anything in what we make: the user alone. */
const OURS = 0o700;

/**
 * Results as files under the hash of what they were made from, each put there whole. `stated`: a folder that the user asked for; throws an
 * InputError where that cannot be used. Undefined where the usual folder cannot be, which costs nothing but time.
 */
export async function nodeKeptStore(
  stated: string | undefined,
  runs: Runs,
  mostBytes = MOST_BYTES,
): Promise<NodeKeptStore | undefined> {
  const folder = stated === undefined ? usualKeptFolder() : resolve(stated);
  try {
    await writing(folder, () => makeFolders(folder, OURS), 'choose another place with --kept');
    if (!isOnlyOurs(folder)) {
      const message = `“${folder}” cannot hold what is kept for later builds because others can write there too, and nobody knows what they put there: choose another place with --kept.`;
      throw usageError('kept-place', message);
    }
  } catch (error) {
    if (stated === undefined) return undefined;
    throw error;
  }
  const pathOf = (address: string): string => join(folder, address.slice(0, 2), address);
  let isNew = false;
  return {
    read: (address) =>
      tried(() => {
        const entry = readFileSync(pathOf(address));
        const now = Date.now() / 1000;
        tried(() => {
          utimesSync(pathOf(address), now, now);
        });
        return entry;
      }),
    write: (address, entry) => {
      const run = runs.begin();
      const path = pathOf(address);
      const part = `${path}.${run}.part`;
      tried(() => {
        mkdirSync(dirname(path), { recursive: true, mode: OURS });
        writeFileSync(part, entry);
        renameSync(part, path);
        isNew = true;
      });
      tried(() => {
        rmSync(part, { force: true });
      });
      runs.end(run);
    },
    clearUp: () => {
      if (isNew) clearUpIn(folder, runs, mostBytes);
    },
  };
}
