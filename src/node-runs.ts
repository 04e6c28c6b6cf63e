/** Names for unfinished work, and whether the program that gave one is still alive. */
import { createHash } from 'node:crypto';
import { hostname } from 'node:os';
import { setTimeout } from 'node:timers/promises';
import type { Runs } from './model/effects.ts';

/** Work of this process that has not ended. */
const inHand = new Set<string>();
let count = 0;

/** Tells the machines apart that share a folder; not their names, which are nobody's business. */
const machine = createHash('sha256').update(hostname()).digest('hex').slice(0, 8);

/** Number of the process, number of the work in it, machine. Earlier versions gave the process alone, or both numbers. */
const RUN = /^(\d{1,10})(?:-(\d+))?(?:-([0-9a-f]{8}))?$/;

/** Long beside the moment in which a dossier is replaced, short beside a build. */
const WAIT_MS = 25;

function isAlive(processId: number): boolean {
  try {
    // Signal 0 only asks (POSIX kill); a process of somebody else answers EPERM.
    process.kill(processId, 0);
    return true;
  } catch (error) {
    return error instanceof Error && 'code' in error && error.code === 'EPERM';
  }
}

/** The runs of this process; see the interface. */
export function nodeRuns(): Runs {
  return {
    begin: () => {
      count += 1;
      const run = `${String(process.pid)}-${String(count)}-${machine}`;
      inHand.add(run);
      return run;
    },
    end: (run) => {
      inHand.delete(run);
    },
    isOver: (run) => {
      if (inHand.has(run)) return false;
      const [, processId, , where = machine] = RUN.exec(run) ?? [];
      if (processId === undefined || where !== machine) return false;
      return Number(processId) === process.pid || !isAlive(Number(processId));
    },
    isElsewhere: (run) => (RUN.exec(run)?.[3] ?? machine) !== machine,
    wait: () => setTimeout(WAIT_MS),
  };
}
