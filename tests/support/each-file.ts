/** For each file of tests: a folder of its own for temporary files, and no process outlives the file. */
import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll } from 'vitest';
import { runFolder } from './run-folder.ts';
import { endAll, ownChildren } from './own-processes.ts';

const folder = mkdtempSync(join(runFolder(), 'file-'));
for (const name of ['TMPDIR', 'TEMP', 'TMP']) process.env[name] = folder;
// Every build is made anew where a test does not ask for what is kept: no folder can be made below a file.
for (const name of ['XDG_CACHE_HOME', 'LOCALAPPDATA']) process.env[name] = fileURLToPath(import.meta.url);

// The first one set runs last, after the file has tidied up itself.
afterAll(() => {
  const left = ownChildren();
  const said = endAll(left);
  rmSync(folder, { recursive: true, force: true, maxRetries: 3 });
  if (left.length > 0) throw new Error(`These processes were left running and have been ended: ${said}`);
});
