/** One file from the disk, with its hash, or the reason why not. */
import { createHash } from 'node:crypto';
import type { Disk } from '../model/effects.ts';
import type { Problem } from '../problems/problem.ts';
import type { FoundFile } from './folder-survey.ts';
import type { RawFile } from './raw.ts';

function sizeWords(bytes: number): string {
  return bytes < 1_000_000 ? `${Math.ceil(bytes / 1000)} kB` : `${(bytes / 1_000_000).toFixed(1)} MB`;
}

interface Loaded {
  readonly bytes?: Uint8Array;
  readonly record: RawFile;
}

/** What a reading of a folder carries along. */
export interface Reading {
  readonly disk: Disk;
  readonly problems: Problem[];
  readonly records: RawFile[];
  readonly progress: (text: string) => void;
}

/** A file or folder that cannot be used. */
export function refused(file: string, code: string, message: string): Problem {
  return { kind: 'refused', code, file, message };
}

/** The bytes of a file and its hash; a file that is too large or cannot be read gives a problem and no bytes. */
export async function load(found: FoundFile, mostBytes: number, reading: Reading): Promise<Loaded> {
  const unread: RawFile = { path: found.path, sha256: '', use: 'not used' };
  const fail = (code: string, message: string): Loaded => {
    const kind = found.use === 'settings' ? 'settings' : 'refused';
    reading.problems.push({ ...refused(found.path, code, message), kind });
    return { record: unread };
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
    const bytes = await reading.disk.read(found.absolutePath);
    const sha256 = createHash('sha256').update(bytes).digest('hex');
    return { bytes, record: { path: found.path, sha256, use: 'not used' } };
  } catch {
    return fail('unreadable-file', 'The file cannot be read: check who may read it.');
  }
}
