/**
 * Reads and checks an archive. Every record names the hash of the one before it, and every file lies under its own hash, so
 * that whatever was changed, cut short, taken out or put in afterwards shows; then nothing is built and one sentence says why.
 */
import { join } from 'node:path';
import type { ArchivedBuild } from '../../model/archive.ts';
import type { Disk } from '../../model/effects.ts';
import {
  archiveError,
  ARCHIVE_MARKER,
  ARCHIVE_TITLE,
  OBJECTS,
  RECORD_NAME,
  recordSchema,
  sha256Of,
} from './archive-layout.ts';

const MOST_RECORD_BYTES = 4_000_000;

export interface Archive {
  /** Absolute path. */
  readonly folder: string;
  readonly builds: readonly ArchivedBuild[];
  /** Hash of the last record; null where nothing was kept yet. */
  readonly lastRecord: string | null;
}

const ADVICE = 'restore it from a copy, or choose another archive by another --out.';

async function isOurs(disk: Disk, folder: string): Promise<boolean> {
  const status = await disk.status(folder);
  if (status === undefined) return false;
  if (status.kind !== 'directory')
    throw archiveError('archive-not-a-folder', `“${folder}” is not a folder, so no archive can be kept there.`);
  const entries = await disk.list(folder);
  if (entries.length === 0) return false;
  const marker = entries.find(({ name }) => name === ARCHIVE_MARKER);
  const size = marker?.kind === 'file' ? (await disk.status(join(folder, ARCHIVE_MARKER)))?.bytes : undefined;
  const title =
    size === undefined || size > 200 ? '' : new TextDecoder().decode(await disk.read(join(folder, ARCHIVE_MARKER)));
  if (title.trim() === ARCHIVE_TITLE) return true;
  throw archiveError(
    'archive-not-ours',
    `“${folder}” is not an archive of this version of the program, and it keeps nothing among files of others: move that folder away or choose another --out.`,
  );
}

async function readRecord(
  disk: Disk,
  folder: string,
  name: string,
): Promise<{ build: ArchivedBuild; previous: string | null; sha256: string }> {
  const path = join(folder, name);
  const damaged = archiveError(
    'archive-damaged',
    `“${name}” in the archive “${folder}” was changed or cut short after it was written: ${ADVICE}`,
  );
  const status = await disk.status(path);
  if (status === undefined || status.bytes > MOST_RECORD_BYTES) throw damaged;
  const bytes = await disk.read(path);
  const sha256 = sha256Of(bytes);
  if (!sha256.startsWith(RECORD_NAME.exec(name)?.[2] ?? '-')) throw damaged;
  let content: unknown;
  try {
    content = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes));
  } catch {
    throw damaged;
  }
  const parsed = recordSchema.safeParse(content);
  if (!parsed.success || parsed.data.number !== Number(RECORD_NAME.exec(name)?.[1])) throw damaged;
  const { number, title, date, files, stages, dossier, previous } = parsed.data;
  return { build: { number, title, date, files, stages, dossier }, previous, sha256 };
}

/** Names in the folder of files, checked to be files and nothing else. */
async function objectsIn(disk: Disk, folder: string): Promise<ReadonlySet<string>> {
  const path = join(folder, OBJECTS);
  if ((await disk.status(path))?.kind !== 'directory') return new Set();
  return new Set((await disk.list(path)).filter(({ kind }) => kind === 'file').map(({ name }) => name));
}

/** The archive in a folder; empty where there is none yet. Throws an InputError where it is not whole or not ours. */
export async function readArchive(disk: Disk, folder: string): Promise<Archive> {
  if (!(await isOurs(disk, folder))) return { folder, builds: [], lastRecord: null };
  const names = (await disk.list(folder))
    .filter(({ name, kind }) => kind === 'file' && name.startsWith('build-') && name.endsWith('.json'))
    .map(({ name }) => name)
    .sort();
  const objects = await objectsIn(disk, folder);
  const builds: ArchivedBuild[] = [];
  let lastRecord: string | null = null;
  for (const name of names) {
    const { build, previous, sha256 } = await readRecord(disk, folder, name);
    if (build.number !== builds.length + 1 || previous !== lastRecord) {
      throw archiveError(
        'archive-broken-chain',
        `The archive “${folder}” is not whole: “${name}” does not follow the record before it, so a build is missing or another was put in; ${ADVICE}`,
      );
    }
    for (const hash of [build.dossier, ...build.files.map((file) => file.sha256)]) {
      if (!objects.has(hash))
        throw archiveError(
          'archive-file-missing',
          `The archive “${folder}” has lost a file of build ${String(build.number)} (${OBJECTS}/${hash.slice(0, 12)}…): ${ADVICE}`,
        );
    }
    builds.push(build);
    lastRecord = sha256;
  }
  return { folder, builds, lastRecord };
}

/** The bytes of a kept file. Throws an InputError where they are not those that were kept. */
export async function readKept(
  disk: Disk,
  { folder }: Archive,
  sha256: string,
  mostBytes: number,
): Promise<Uint8Array> {
  const path = join(folder, OBJECTS, sha256);
  const status = await disk.status(path);
  const bytes = status === undefined || status.bytes > mostBytes ? undefined : await disk.read(path);
  if (bytes === undefined || sha256Of(bytes) !== sha256) {
    throw archiveError(
      'archive-damaged',
      `“${OBJECTS}/${sha256.slice(0, 12)}…” in the archive “${folder}” was changed or cut short after it was written: ${ADVICE}`,
    );
  }
  return bytes;
}
