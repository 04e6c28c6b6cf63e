/** The file system as libraries use it, past our `Disk`: fails where a test says. To be imported before the library that is to meet it. */
import fs from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';
import { join, resolve, sep } from 'node:path';

type Operation = (this: unknown, ...given: unknown[]) => unknown;

/** Those that tell their caller of a failure; `existsSync` takes it for absence. */
const OPERATIONS = [
  'readFileSync',
  'readFile',
  'statSync',
  'stat',
  'lstat',
  'readdirSync',
  'readdir',
  'openSync',
] as const;

let count = 0;
let failing = 0;
let below = '';

function ioError(name: string, path: unknown): Error {
  const error = new Error(`EIO: i/o error, ${name} '${String(path)}'`);
  return Object.assign(error, { code: 'EIO', errno: -5, syscall: name, path });
}

const operations = fs as unknown as Record<string, Operation>;
for (const name of OPERATIONS) {
  const real = operations[name];
  if (real === undefined) throw new Error(`node:fs has no ${name}`);
  const guarded: Operation = function (...given) {
    const [path] = given;
    const answer = given.at(-1);
    if (failing === 0 || typeof path !== 'string' || !resolve(path).startsWith(below)) return real.apply(this, given);
    count += 1;
    if (count !== failing) return real.apply(this, given);
    if (typeof answer !== 'function') throw ioError(name, path);
    process.nextTick(answer, ioError(name, path));
    return undefined;
  };
  operations[name] = Object.assign(guarded, real);
}
syncBuiltinESMExports();

/** Runs work in which the operation of this number, from 1, of those in a folder fails. Returns how many there were. */
export async function withFileFailing(folder: string, number: number, work: () => Promise<unknown>): Promise<number> {
  below = join(folder, sep);
  count = 0;
  failing = number;
  try {
    await work();
    return count;
  } finally {
    failing = 0;
  }
}
