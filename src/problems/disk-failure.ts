/** A disk that fails is neither the user's mistake nor ours: one sentence as well. */
import { InputError } from './problem.ts';

/** The code of an error of the operating system (POSIX errno names as Node gives them), or undefined for any other error. */
export function systemCode(error: unknown): string | undefined {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  return /^E[A-Z0-9]+$/.test(code) ? code : undefined;
}

/** Runs work that reads; an error of the operating system that nobody foresaw becomes an InputError. */
export async function withDiskFailuresTold<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    const code = systemCode(error);
    if (code === undefined) throw error;
    const message = `The disk failed while the folder was being read (${code}): try again, and have a look at the disk if it does so again.`;
    throw new InputError([{ kind: 'usage', code: 'disk-failed', file: '', message }]);
  }
}
