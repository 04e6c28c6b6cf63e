/** A disk that fails is neither the user's mistake nor ours: one sentence as well. */
import { InputError, usageError } from './problem.ts';

/** The code of an error of the operating system (POSIX errno names as Node gives them), or undefined for any other error. */
export function systemCode(error: unknown): string | undefined {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  return /^E[A-Z0-9]+$/.test(code) ? code : undefined;
}

/** Errors that led to this one, itself first: libraries wrap what they were told, under either name. */
export function* causesOf(error: unknown): Generator<Error> {
  const seen = new Set<unknown>();
  let next = error;
  while (next instanceof Error && !seen.has(next)) {
    yield next;
    seen.add(next);
    next = 'originalError' in next ? next.originalError : next.cause;
  }
}

function readingFailed(code: string): string {
  return `The disk failed while the folder was being read (${code}): try again, and have a look at the disk if it does so again.`;
}

/** Runs work that reads; an error of the operating system that nobody foresaw becomes an InputError, which says `sentence` of its code. */
export async function withDiskFailuresTold<T>(work: () => Promise<T>, sentence = readingFailed): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof InputError) throw error;
    const code = [...causesOf(error)].map(systemCode).find((each) => each !== undefined);
    if (code === undefined) throw error;
    throw usageError('disk-failed', sentence(code));
  }
}
