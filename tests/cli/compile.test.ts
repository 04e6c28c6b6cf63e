/** Two runs of the tests, or a build and a test, may compile the program at the same time. */
import { spawn } from 'node:child_process';
import { cpSync, readdirSync, symlinkSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { expect, it } from 'vitest';
import { temporaryFolder } from '../support/run-cli.ts';

function ending(folder: string, args: readonly string[]): Promise<string> {
  return new Promise((done, fail) => {
    const child = spawn(process.execPath, [...args], { cwd: folder, stdio: ['ignore', 'pipe', 'pipe'] });
    child.stdout.resume();
    child.on('error', fail);
    let err = '';
    child.stderr.on('data', (chunk: Buffer) => (err += chunk.toString()));
    child.on('close', (code) => {
      done(`${String(code)} ${err}`.trim());
    });
  });
}

it('compiled three times at once, the program is whole each time and nothing half written stays', async () => {
  const folder = temporaryFolder();
  for (const name of ['src', 'shared', 'templates', 'package.json'])
    cpSync(resolve(name), join(folder, name), { recursive: true });
  symlinkSync(resolve('node_modules'), join(folder, 'node_modules'));
  const run = ['src/launch.mjs', '--help'];
  expect(await Promise.all([run, run, run].map((args) => ending(folder, args)))).toEqual(['0', '0', '0']);
  expect(readdirSync(join(folder, 'dist')).filter((name) => name.endsWith('.partial'))).toEqual([]);
});
