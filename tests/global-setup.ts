import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { compile } from '../src/launch.mjs';
import { hasWholeData, openDataFolder } from './support/open-data.ts';
import { endAll, orphansOf } from './support/own-processes.ts';
import { setRunFolder } from './support/run-folder.ts';

let folder = '';

/** The command line and page tests run the compiled program, as a user does. */
export async function setup(): Promise<void> {
  folder = mkdtempSync(join(tmpdir(), 'dossier-tests-'));
  setRunFolder(folder);
  // An interrupt at the keyboard ends in the teardown; whoever ends the run otherwise wants no leftovers either.
  for (const [signal, number] of [
    ['SIGTERM', 15],
    ['SIGHUP', 1],
  ] as const)
    process.once(signal, () => {
      rmSync(folder, { recursive: true, force: true });
      process.exit(128 + number);
    });
  if (!hasWholeData)
    console.log(`The whole open data are not here: checks against scores use the few in ${openDataFolder}.`);
  await compile();
}

/** Nothing stays behind: no process that a test started, no file. */
export function teardown(): void {
  const left = orphansOf(folder);
  const said = endAll(left);
  rmSync(folder, { recursive: true, force: true, maxRetries: 3 });
  if (existsSync(folder)) throw new Error(`${folder} could not be removed`);
  if (left.length > 0) throw new Error(`These processes were left running and have been ended: ${said}`);
}
