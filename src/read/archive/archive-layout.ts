/** How an archive lies on the disk: a marker, a record a build in a chain of hashes, and the files under their hashes. */
import { createHash } from 'node:crypto';
import * as z from 'zod';
import { InputError } from '../../problems/problem.ts';

export const ARCHIVE_MARKER = '.arrangement-dossier-archive';
export const ARCHIVE_TITLE = 'arrangement-dossier archive 1';
export const ARCHIVE_FORMAT = 'arrangement-dossier-archive/1';
export const OBJECTS = 'objects';

export function sha256Of(content: Uint8Array | string): string {
  return createHash('sha256').update(content).digest('hex');
}

/** Name of a record: its number and the beginning of its own hash. */
export function recordName(number: number, sha256: string): string {
  return `build-${String(number).padStart(4, '0')}-${sha256.slice(0, 16)}.json`;
}

export const RECORD_NAME = /^build-(\d{4})-([0-9a-f]{16})\.json$/;

/** One sentence about an archive that cannot be used; nothing is built then. */
export function archiveError(code: string, message: string): InputError {
  return new InputError([{ kind: 'usage', code, file: '', message }]);
}

/** At most one folder deep, no way out of the folder, no signs that a file name has not. */
function isPathInside(path: string): boolean {
  const names = path.split('/');

  return (
    names.length <= 2 &&
    names.every((name) => name !== '' && name !== '.' && name !== '..' && !/[\\:\u0000-\u001f]/.test(name))
  );
}

const hash = z.string().regex(/^[0-9a-f]{64}$/);
const count = z.number().int().min(0);

export const recordSchema = z.strictObject({
  format: z.literal(ARCHIVE_FORMAT),
  number: z.number().int().min(1).max(9999),
  /** Hash of the record before it; null for the first. */
  previous: hash.nullable(),
  title: z.string().max(10_000),
  date: z.string().max(10_000).nullable(),
  files: z
    .array(
      z.strictObject({
        path: z.string().max(1000).refine(isPathInside),
        sha256: hash,
        use: z.enum(['stage', 'settings', 'notes']),
      }),
    )
    .max(4000),
  stages: z
    .array(
      z.strictObject({
        title: z.string().max(10_000),
        bars: count,
        parts: count,
        seconds: z.number().min(0),
        findings: z.strictObject({ fix: count, look: count, note: count }),
      }),
    )
    .max(1000),
  dossier: hash,
});
