/** The real disk with a quiet terminal, for tests that write; and a folder that goes away with the test run. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { buildSync } from 'esbuild';
import { afterAll } from 'vitest';
import type { Disk, Effects } from '../../src/model/effects.ts';
import { nodeDisk, nodeEffects } from '../../src/node-effects.ts';
import { nodeRuns } from '../../src/node-runs.ts';

let clientScript: string | undefined;

/** The browser script as it is published. */
export function bundledClient(): string {
  clientScript ??= new TextDecoder().decode(
    buildSync({
      entryPoints: [resolve('src/client/client.ts')],
      bundle: true,
      minify: true,
      format: 'iife',
      target: 'es2020',
      legalComments: 'none',
      write: false,
    }).outputFiles[0]!.contents,
  );
  return clientScript;
}

/** The real disk, except that nothing waits until it has the bytes: a test that fails for that would need a power cut. */
export const quickDisk: Disk = {
  ...nodeDisk,
  writeLasting: nodeDisk.write,
  makeNamesLast: () => Promise.resolve(),
};

/** Effects on the real disk; `disk` replaces single operations, e.g. to let one fail. */
export function testEffects(disk: Partial<Disk> = {}): Effects {
  return {
    disk: { ...quickDisk, ...disk },
    terminal: { out: () => undefined, err: () => undefined, isInteractive: false },
    packageRoot: resolve('.'),
    clientScript: bundledClient(),
    runs: nodeRuns(),
    withoutInterruption: (work) => work(() => false),
    standingIn: nodeEffects().standingIn,
  };
}

/** A new empty folder, removed after the tests of the file. */
export function scratchFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'dossier-test-'));
  afterAll(() => {
    rmSync(folder, { recursive: true, force: true });
  });
  return folder;
}
