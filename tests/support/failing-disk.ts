/** The real disk until an operation of a given number, where the program is killed or the disk fails. */
import { writeFileSync } from 'node:fs';
import type { Disk, Effects } from '../../src/model/effects.ts';
import { writing } from '../../src/node-effects.ts';
import { quickDisk, testEffects } from './effects.ts';

/** What happens at an operation and, where it is not over at once, at all later ones. */
export const FAULTS = [
  /** The program is killed: nothing happens any more, and a file that was being written has half of its bytes. */
  'a kill',
  'one I/O error',
  'I/O errors from then on',
  'a disk that is full from then on',
] as const;

export type Fault = (typeof FAULTS)[number];

export class Killed extends Error {}

const FILLING: ReadonlySet<string> = new Set(['write', 'writeLasting', 'create', 'makeFolder', 'keepCopy']);
const WRITING: ReadonlySet<string> = new Set([...FILLING, 'rename', 'remove', 'makeNamesLast']);

function errno(code: string): Error {
  return Object.assign(new Error(`${code}: as a test wanted it`), { code });
}

export interface FailingEffects {
  readonly effects: Effects;
  /** Operations that were asked for. */
  readonly operations: () => number;
  /** True once the fault has come. */
  readonly hasFailed: () => boolean;
}

/** Effects on the real disk, or another, with `fault` at the operation of this number, from 1; none for Infinity. */
export function failingEffects(fault: Fault, failing: number, onto = quickDisk): FailingEffects {
  let count = 0;
  let failed = false;
  const guard =
    <Arguments extends readonly unknown[], T>(name: string, operation: (...given: Arguments) => Promise<T>) =>
    (...given: Arguments): Promise<T> => {
      count += 1;
      const isHit = fault === 'one I/O error' ? count === failing : count >= failing;
      if (!isHit || (fault === 'a disk that is full from then on' && !FILLING.has(name))) return operation(...given);
      failed = true;
      if (fault === 'a kill') {
        const [path, content] = given;
        if ((name === 'write' || name === 'writeLasting') && count === failing && typeof path === 'string') {
          const bytes = typeof content === 'string' ? Buffer.from(content) : (content as Uint8Array);
          writeFileSync(path, bytes.subarray(0, bytes.length >> 1));
        }
        return Promise.reject(new Killed('killed'));
      }
      const error = errno(fault === 'a disk that is full from then on' ? 'ENOSPC' : 'EIO');
      // As the real disk puts it: writing gives a sentence, reading the error of the system.
      if (name === 'realPath') return Promise.resolve(undefined as T);
      return WRITING.has(name) ? writing(String(given.at(-1)), () => Promise.reject(error)) : Promise.reject(error);
    };
  const disk = Object.fromEntries(
    Object.entries(onto).map(([name, operation]) => [name, guard(name, operation as () => Promise<unknown>)]),
  ) as unknown as Disk;
  return { effects: testEffects(disk), operations: () => count, hasFailed: () => failed };
}
