/** Hashes: whole ones to find things by, short ones of plain data for people to compare. */
import { createHash } from 'node:crypto';
import type { FileRecord, Stage } from './music/arrangement.ts';

/** So many hexadecimal digits tell folders apart; the list of files has the whole hash of each. */
const SHORT = 12;

/** SHA-256 in hexadecimal digits. */
export function sha256Of(content: Uint8Array | string): string {
  return createHash('sha256').update(content).digest('hex');
}

/** The first digits of the SHA-256 of some plain data as JSON. */
export function shortHash(content: unknown): string {
  return sha256Of(JSON.stringify(content)).slice(0, SHORT);
}

/** Short hash of the music of a stage: of the files that its parts come from, whatever they are called. */
export function musicHash({ parts }: Pick<Stage, 'parts'>, files: readonly FileRecord[]): string {
  const used = new Set(parts.flatMap(({ tracks }) => tracks.map(({ file }) => file)));
  return shortHash(files.flatMap(({ path, sha256 }) => (used.has(path) ? [sha256] : [])).sort());
}
