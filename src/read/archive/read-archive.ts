/**
 * Reads and checks an archive. Every record and every file lies under its own hash and a record names those before it, so that
 * whatever was changed, cut short, emptied or taken out afterwards shows. It is told, what is whole is used, and nothing that
 * happens to an archive keeps the next build from adding to it.
 */
import { join } from 'node:path';
import type { ArchivedBuild } from '../../model/readings/archive.ts';
import type { Disk } from '../../model/effects.ts';
import type { Problem } from '../../problems/problem.ts';
import { usageError } from '../../problems/problem.ts';
import { ARCHIVE_MARKER, ARCHIVE_TITLE, EARLIER_TITLES, HEAD, OBJECTS, RECORDS } from './archive-layout.ts';
import { checkObjects, type CheckedObjects } from './check-objects.ts';
import { readHeads, readRecords, type ArchiveRecord, type FoundHeads, type FoundRecords } from './read-records.ts';

export interface Archive extends CheckedObjects {
  /** Absolute path. */
  readonly folder: string;
  /** In the order in which they were made, as far as the records tell. */
  readonly builds: readonly ArchivedBuild[];
  /** Hashes of the records that no other follows, with the numbers of their builds: one, unless the archive grew apart. */
  readonly tips: readonly { readonly sha256: string; readonly number: number }[];
  /** Last records that the head names and that are there, but cannot be understood: the next record follows them as well. */
  readonly unreadTips: readonly string[];
  /** Number of the next record. */
  readonly nextNumber: number;
  /** Names of copies of the head, which the next head replaces. */
  readonly headCopies: readonly string[];
  /** What is wrong with records, in one sentence each. */
  readonly remarks: readonly Problem[];
}

/** A remark about the archive as a whole. */
export function archiveRemark(code: string, message: string): Problem {
  return { kind: 'remark', code, file: '', message };
}

/** Names that an archive has, and those that systems put into any folder. */
const KNOWN_NAMES =
  /^(\.arrangement-dossier-archive.*|objects|records|index.*\.html|head.*|build-\d+-.*|\.DS_Store|Thumbs\.db|desktop\.ini)$/;

const MOST_MARKER_BYTES = 200;

async function isOurs(disk: Disk, folder: string): Promise<boolean> {
  const status = await disk.status(folder);
  if (status === undefined) return false;
  if (status.kind !== 'directory')
    throw usageError('archive-not-a-folder', `“${folder}” is not a folder, so no archive can be kept there.`);
  const entries = await disk.list(folder).catch(() => undefined);
  if (entries === undefined)
    throw usageError('archive-denied', `The archive “${folder}” cannot be listed: check who may read it.`);
  if (entries.length === 0) return false;
  const marker = entries.find(({ name }) => name === ARCHIVE_MARKER);
  const size = marker?.kind === 'file' ? (await disk.status(join(folder, ARCHIVE_MARKER)))?.bytes : undefined;
  const title =
    size === undefined || size > MOST_MARKER_BYTES
      ? undefined
      : new TextDecoder().decode(await disk.read(join(folder, ARCHIVE_MARKER)));
  if (title !== undefined && [ARCHIVE_TITLE, ...EARLIER_TITLES].includes(title.trim())) return true;
  // A first build that was broken off, or a marker that was lost or emptied.
  const isUnmarked = marker === undefined || (title !== undefined && /^[\s\0]*$/.test(title));
  if (isUnmarked && entries.every(({ name }) => KNOWN_NAMES.test(name))) return true;
  if (isUnmarked && (await readRecords(disk, folder)).records.length > 0) return true;
  throw usageError(
    'archive-not-ours',
    `“${folder}” is not an archive of this version of the program, and it keeps nothing among files of others: move that folder away or choose another --out.`,
  );
}

/** The builds that records tell of, numbered in their order. */
export function buildsOf(records: readonly ArchiveRecord[]): readonly ArchivedBuild[] {
  const numbers = new Map(records.map(({ sha256 }, index) => [sha256, index + 1]));
  return records.map(({ parents, content }, index) => ({
    number: index + 1,
    follows: parents.flatMap((parent) => numbers.get(parent) ?? []).sort((a, b) => a - b),
    ...content,
  }));
}

function recordRemarks({ records, damaged }: FoundRecords, heads: FoundHeads, folder: string): readonly Problem[] {
  const known = new Set(records.map(({ sha256 }) => sha256));
  const isTold = (hash: string): boolean => damaged.some((name) => name.includes(hash.slice(0, 16)));
  const advice = 'restore it from a copy, if there is one; all other builds are told';
  const remarks = damaged.map((name) =>
    archiveRemark(
      'archive-record-damaged',
      `“${name}” in the archive “${folder}” was changed or cut short after it was written, or cannot be read, so the build that it told of is left out: ${advice}.`,
    ),
  );
  const lost = heads.records.filter((hash) => !known.has(hash) && !isTold(hash));
  for (const hash of lost) {
    remarks.push(
      archiveRemark(
        'archive-last-missing',
        `The last build that the archive “${folder}” names is not there (${RECORDS}/${hash.slice(0, 12)}…): ${advice}.`,
      ),
    );
  }
  for (const [index, { parents }] of records.entries()) {
    for (const hash of parents.filter((parent) => !known.has(parent) && !isTold(parent))) {
      remarks.push(
        archiveRemark(
          'archive-build-missing',
          `A build before build ${String(index + 1)} is missing from the archive “${folder}” (${RECORDS}/${hash.slice(0, 12)}…): ${advice}.`,
        ),
      );
    }
  }
  if (!heads.isWhole) {
    remarks.push(
      archiveRemark(
        'archive-head-damaged',
        `“${HEAD}” in the archive “${folder}” was emptied or changed, or cannot be read, so nobody can tell whether its last builds are all there.`,
      ),
    );
  }
  return remarks;
}

/** The archive in a folder; empty where there is none yet. Throws an InputError where what stands there is not ours. */
export async function readArchive(disk: Disk, folder: string): Promise<Archive> {
  const isThere = await isOurs(disk, folder);
  const found = isThere ? await readRecords(disk, folder) : { records: [], damaged: [], unread: [] };
  const heads = isThere ? await readHeads(disk, folder) : { records: [], copies: [], isWhole: true };
  const { records } = found;
  const builds = buildsOf(records);
  const followed = new Set(records.flatMap(({ parents }) => parents));
  const tips = records.flatMap(({ sha256 }, index) => (followed.has(sha256) ? [] : [{ sha256, number: index + 1 }]));
  const hashes = new Set(
    builds.flatMap(({ dossier, picture, files }) => [
      dossier,
      ...(picture === undefined ? [] : [picture]),
      ...files.map(({ sha256 }) => sha256),
    ]),
  );
  return {
    folder,
    builds,
    tips,
    unreadTips: found.unread.filter((hash) => heads.records.includes(hash)),
    nextNumber: Math.max(0, ...records.map(({ number }) => number)) + 1,
    headCopies: heads.copies,
    remarks: recordRemarks(found, heads, folder),
    ...(await checkObjects(disk, folder, hashes)),
  };
}

/** What a kept file is, for a sentence: “02 Strings.mid” of build 3, or dossier.json of it. */
export function objectText({ builds }: Archive, sha256: string): string {
  for (const { number, files, dossier, picture } of [...builds].reverse()) {
    const file = files.find((candidate) => candidate.sha256 === sha256);
    if (file !== undefined) return `“${file.path}” of build ${String(number)}`;
    if (picture === sha256) return `the picture of build ${String(number)}`;
    if (dossier === sha256) return `dossier.json of build ${String(number)}`;
  }
  return `${OBJECTS}/${sha256.slice(0, 12)}…`;
}
