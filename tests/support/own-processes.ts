/** Processes that tests have started and left behind, as Linux lists them under /proc; elsewhere none are found. */
import { existsSync, readFileSync, readdirSync } from 'node:fs';

export interface LeftProcess {
  readonly pid: number;
  readonly command: string;
}

function textOf(path: string): string {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return '';
  }
}

function processes(): readonly (LeftProcess & { readonly parent: number })[] {
  if (!existsSync('/proc/self/stat')) return [];
  return readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .map((name) => ({
      pid: Number(name),
      // The second field is the name of the program in parentheses, the third the state, the fourth the parent.
      parent: Number(textOf(`/proc/${name}/stat`).split(') ').at(-1)?.split(' ')[1]),
      command: textOf(`/proc/${name}/cmdline`).replaceAll('\0', ' ').trim(),
    }))
    .filter(({ command }) => command !== '');
}

/** The bundler keeps one process of its own for as long as its parent lives. */
const isBundler = ({ command }: LeftProcess): boolean => command.includes('esbuild');

/** Children of this process that run still. */
export function ownChildren(): readonly LeftProcess[] {
  return processes().filter((found) => found.parent === process.pid && !isBundler(found));
}

/** Processes without a parent that were started with this folder for their temporary files. */
export function orphansOf(folder: string): readonly LeftProcess[] {
  const all = processes();
  const parents = new Map(all.map(({ pid, parent }) => [pid, parent]));
  const isBelowUs = (pid: number): boolean => {
    for (let at: number | undefined = pid; at !== undefined; at = parents.get(at)) if (at === process.pid) return true;
    return false;
  };
  const isOfThisRun = (pid: number): boolean => textOf(`/proc/${String(pid)}/environ`).includes(folder);
  return all.filter((found) => !isBundler(found) && isOfThisRun(found.pid) && !isBelowUs(found.pid));
}

/** Ends them at once and gives their command lines, for a message. */
export function endAll(left: readonly LeftProcess[]): string {
  for (const { pid } of left) {
    try {
      process.kill(pid, 'SIGKILL');
    } catch {
      // It has ended by itself.
    }
  }
  return left.map(({ command }) => command.slice(0, 200)).join('; ');
}
