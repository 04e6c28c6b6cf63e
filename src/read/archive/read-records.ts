/** The records of an archive, by their content: whatever a synchronised folder made of their names. */
import { join } from 'node:path';
import type { ArchivedBuild } from '../../model/readings/archive.ts';
import type { Disk } from '../../model/effects.ts';
import { sha256Of } from '../../model/hashes.ts';
import { HEAD, headSchema, RECORDS, recordSchema } from './archive-layout.ts';

const MOST_RECORD_BYTES = 8_000_000;

export interface ArchiveRecord {
  readonly sha256: string;
  readonly number: number;
  /** Hashes of the records it follows. */
  readonly parents: readonly string[];
  readonly content: Omit<ArchivedBuild, 'number' | 'follows'>;
}

export interface FoundRecords {
  /** Each after all that it follows. */
  readonly records: readonly ArchiveRecord[];
  /** Names of records that are not what they were, nor anywhere else. */
  readonly damaged: readonly string[];
  /** Hashes of those, where the name has the whole of it. */
  readonly unread: readonly string[];
}

/** By number, then by hash, but none before one that it follows: the same on every machine. */
function inOrder(records: ReadonlyMap<string, ArchiveRecord>): readonly ArchiveRecord[] {
  const ordered = new Set<ArchiveRecord>();
  const place = (record: ArchiveRecord | undefined): void => {
    if (record === undefined || ordered.has(record)) return;
    for (const parent of record.parents) place(records.get(parent));
    ordered.add(record);
  };
  const sorted = [...records.values()].sort((a, b) => a.number - b.number || (a.sha256 < b.sha256 ? -1 : 1));
  for (const record of sorted) place(record);
  return [...ordered];
}

function parse(bytes: Uint8Array): Omit<ArchiveRecord, 'sha256'> | undefined {
  let content: unknown;
  try {
    content = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes));
  } catch {
    return undefined;
  }
  const parsed = recordSchema.safeParse(content);
  if (!parsed.success) return undefined;
  const record = parsed.data;
  const { number, title, date, files, stages, dossier } = record;
  const parents = 'parents' in record ? record.parents : record.previous === null ? [] : [record.previous];
  const { newest, picture, done } = { newest: null, picture: null, done: undefined, ...record };
  return {
    number,
    parents,
    content: {
      title,
      date,
      files,
      stages,
      dossier,
      ...(newest === null ? {} : { newest }),
      ...(done === undefined ? {} : { done }),
      ...(picture === null ? {} : { picture }),
    },
  };
}

async function bytesOf(disk: Disk, path: string): Promise<Uint8Array | undefined> {
  const status = await disk.status(path);
  if (status?.kind !== 'file' || status.bytes > MOST_RECORD_BYTES) return undefined;
  return disk.read(path).catch(() => undefined);
}

async function namesIn(disk: Disk, folder: string): Promise<readonly string[]> {
  if ((await disk.status(folder))?.kind !== 'directory') return [];
  return (await disk.list(folder))
    .filter(({ name, kind }) => kind === 'file' && name.endsWith('.json'))
    .map(({ name }) => name)
    .sort();
}

/**
 * All records of the archive folder. A record is whole where its name holds the hash of its bytes (its beginning, for a numbered
 * one): a copy that was given a longer name counts like the one it was copied from.
 */
export async function readRecords(disk: Disk, folder: string): Promise<FoundRecords> {
  const candidates = [
    ...(await namesIn(disk, folder)).flatMap((name) => {
      const hash = /^build-\d+-([0-9a-f]{16})/.exec(name)?.[1];
      return hash === undefined ? [] : [{ name, hash }];
    }),
    ...(await namesIn(disk, join(folder, RECORDS))).flatMap((name) => {
      const hash = /[0-9a-f]{64}/.exec(name)?.[0];
      return hash === undefined ? [] : [{ name: `${RECORDS}/${name}`, hash }];
    }),
  ];
  const whole = new Map<string, ArchiveRecord>();
  const broken: typeof candidates = [];
  for (const candidate of candidates) {
    const bytes = await bytesOf(disk, join(folder, candidate.name));
    const sha256 = bytes === undefined ? '' : sha256Of(bytes);
    const record = bytes !== undefined && sha256.startsWith(candidate.hash) ? parse(bytes) : undefined;
    if (record === undefined) broken.push(candidate);
    else whole.set(sha256, { sha256, ...record });
  }
  const hashes = [...whole.keys()];
  const damaged = broken.filter(({ hash }) => !hashes.some((sha256) => sha256.startsWith(hash)));
  return {
    records: inOrder(whole),
    damaged: damaged.map(({ name }) => name),
    unread: damaged.map(({ hash }) => hash).filter((hash) => hash.length === 64),
  };
}

export interface FoundHeads {
  /** Hashes that the head names, and every copy of it that a synchronised folder made. */
  readonly records: readonly string[];
  /** Names of the copies. */
  readonly copies: readonly string[];
  /** False where the head itself is there and cannot be understood. */
  readonly isWhole: boolean;
}

/** The head of the archive folder and its copies; an archive of the earlier kind has none. */
export async function readHeads(disk: Disk, folder: string): Promise<FoundHeads> {
  const names = (await namesIn(disk, folder)).filter((name) => name.startsWith('head'));
  const records = new Set<string>();
  let isWhole = true;
  for (const name of names) {
    const bytes = await bytesOf(disk, join(folder, name));
    try {
      const { records: named } = headSchema.parse(JSON.parse(new TextDecoder().decode(bytes)));
      for (const hash of named) records.add(hash);
    } catch {
      if (name === HEAD) isWhole = false;
    }
  }
  return { records: [...records].sort(), copies: names.filter((name) => name !== HEAD), isWhole };
}
