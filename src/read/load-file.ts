/** One file from the disk, with its hash, or the reason why not. */
import { createHash } from 'node:crypto';
import type { Disk } from '../model/effects.ts';
import { sha256Of } from '../model/hashes.ts';
import type { Memory } from '../model/memory.ts';
import { sizeWords } from '../model/words/plain-words.ts';
import type { Problem } from '../problems/problem.ts';
import { fileSource, piecesOf } from './audio/byte-source.ts';
import type { FoundFile } from './folder-survey.ts';
import type { RawFile } from './raw.ts';

interface Loaded {
  readonly bytes?: Uint8Array;
  readonly record: RawFile;
}

/** What is known of a file that need not fit into memory. */
export interface LoadedHead {
  readonly head: Uint8Array;
  readonly size: number;
  readonly sha256: string;
}

/** What a reading of a folder carries along. */
export interface Reading {
  readonly disk: Disk;
  readonly problems: Problem[];
  readonly records: RawFile[];
  /** Called before each recording. */
  readonly progress: (text: string) => void;
  /** What was read of files and measured of recordings before. */
  readonly memory: Memory;
}

/** A file or folder that cannot be used. */
export function refused(file: string, code: string, message: string): Problem {
  return { kind: 'refused', code, file, message };
}

/** What is made of a file of this size; a file that is too large or cannot be read gives a problem and nothing. */
async function reached<Made>(
  found: FoundFile,
  mostBytes: number,
  reading: Reading,
  make: (size: number) => Promise<Made>,
): Promise<Made | undefined> {
  const fail = (code: string, message: string): Made | undefined => {
    const kind = found.use === 'settings' ? 'settings' : 'refused';
    reading.problems.push({ ...refused(found.path, code, message), kind });
    return undefined;
  };
  try {
    const status = await reading.disk.status(found.absolutePath);
    if (status === undefined) return fail('unreadable-file', 'The file has gone or cannot be reached: put it back.');
    if (status.kind !== 'file')
      return fail('unreadable-file', 'This is not a file: remove it, or put a file in its place.');
    if (status.bytes > mostBytes) {
      const size = sizeWords(status.bytes);
      return fail(
        'too-large',
        `The file is ${size} large and at most ${sizeWords(mostBytes)} are read here: make it smaller or take it out.`,
      );
    }
    return await make(status.bytes);
  } catch {
    return fail('unreadable-file', 'The file cannot be read: check who may read it.');
  }
}

/** The bytes of a file and its hash; a file that is too large or cannot be read gives a problem and no bytes. */
export async function load(found: FoundFile, mostBytes: number, reading: Reading): Promise<Loaded> {
  const { path, absolutePath } = found;
  const bytes = await reached(found, mostBytes, reading, () => reading.disk.read(absolutePath));
  if (bytes === undefined) return { record: { path, sha256: '', use: 'not used' } };
  return { bytes, record: { path, sha256: sha256Of(bytes), use: 'not used' } };
}

/** The first bytes of a file that need not fit into memory, with its size and hash; undefined, with a problem, as above. */
export async function loadHead(found: FoundFile, mostBytes: number, reading: Reading): Promise<LoadedHead | undefined> {
  return reached(found, mostBytes, reading, async (size) => {
    const hash = createHash('sha256');
    let head: Uint8Array | undefined;
    for await (const piece of piecesOf(fileSource(found.absolutePath, size, reading.disk))) {
      head ??= piece;
      hash.update(piece);
    }
    return { head: head ?? new Uint8Array(), size, sha256: hash.digest('hex') };
  });
}
