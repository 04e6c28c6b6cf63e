/** Where the program is installed, where it stands and where it is to write: whatever is wrong there is one sentence and no fault of ours. */
import { spawn, spawnSync } from 'node:child_process';
import { closeSync, cpSync, existsSync, mkdirSync, openSync, readdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { checkOutput } from '../../src/publish/check-output.ts';
import { nodeDisk } from '../../src/node-effects.ts';
import { testEffects } from '../support/effects.ts';
import { generatedMidi } from '../support/generated-folder.ts';
import { runCli, temporaryFolder } from '../support/run-cli.ts';

function smallFolder(): string {
  const folder = temporaryFolder();
  writeFileSync(join(folder, '1.mid'), generatedMidi(4, 1));
  return folder;
}

const ONE_SENTENCE = /^[^\n]+\.\n$/;

describe('a dossier that is to go', () => {
  it.runIf(process.platform === 'linux')(
    'into /proc, where no folder can be made, is refused before any work',
    async () => {
      const result = await runCli(['build', smallFolder(), '--out', '/proc/dossier']);
      expect([result.code, result.out]).toEqual([2, '']);
      expect(result.err).toMatch(/^.*“\/proc\/\.dossier[^”]*” cannot be written because [^\n]+\.\n$/);
    },
  );

  it('over the folder one stands in is refused, and the one before stays', async () => {
    const folder = smallFolder();
    const out = join(folder, 'dossier');
    expect((await runCli(['build', folder, '--quiet'])).code).toBe(0);
    const before = readdirSync(out);
    for (const cwd of [out, join(out, 'tables')]) {
      const result = await runCli(['build', folder], { cwd });
      expect(result.code).toBe(2);
      expect(result.err).toMatch(/the folder you stand in/);
      expect(result.err).toMatch(ONE_SENTENCE);
    }
    expect(readdirSync(out)).toEqual(before);
  });

  it('onto a disk of its own is refused, as a mount point cannot be exchanged', async () => {
    const out = join(temporaryFolder(), 'stick');
    mkdirSync(out);
    const effects = testEffects({
      status: async (path) => {
        const found = await nodeDisk.status(path);
        return found === undefined ? undefined : { ...found, device: path === out ? 2 : 1 };
      },
    });
    await expect(checkOutput(out, effects)).rejects.toThrow(/a disk of its own/);
    await expect(checkOutput(join(out, 'inside'), effects)).resolves.toBeUndefined();
    expect(readdirSync(out)).toEqual([]);
  });
});

it('a broken package.json where one stands does not matter', async () => {
  const folder = smallFolder();
  writeFileSync(join(folder, 'package.json'), '{ "name": ');
  expect((await runCli(['build', '.', '--quiet'], { cwd: folder })).code).toBe(0);
  expect(existsSync(join(folder, 'dossier', 'index.html'))).toBe(true);
});

it.each(['a+(x)', '{a,b}', '[a]!(b) *'])('installed in a folder named %s it writes its pages', (name) => {
  const home = join(temporaryFolder(), name.replaceAll('*', process.platform === 'win32' ? '' : '*'));
  mkdirSync(home);
  for (const part of ['dist', 'templates', 'shared', 'package.json'])
    cpSync(resolve(part), join(home, part), { recursive: true });
  symlinkSync(resolve('node_modules'), join(home, 'node_modules'));
  const folder = smallFolder();
  const { status, stderr } = spawnSync(process.execPath, [join(home, 'dist', 'cli.js'), 'build', folder, '--quiet'], {
    encoding: 'utf8',
  });
  expect([status, stderr]).toEqual([0, '']);
  expect(existsSync(join(folder, 'dossier', 'index.html'))).toBe(true);
});

describe.runIf(existsSync('/dev/full'))('where the output goes to a full disk (Linux: /dev/full)', () => {
  it.each([['check'], ['build'], ['check', '--json']])('%s %s says so and ends with 2', async (command, ...more) => {
    const full = openSync('/dev/full', 'w');
    const child = spawn(process.execPath, [resolve('dist/cli.js'), command, smallFolder(), ...more], {
      stdio: ['ignore', full, 'pipe'],
    });
    let err = '';
    child.stderr?.on('data', (chunk: Buffer) => (err += chunk.toString()));
    const code = await new Promise((done) => child.on('close', done));
    closeSync(full);
    expect(code).toBe(2);
    expect(err).toMatch(/The output cannot be written because the disk is full: [^\n]+\.\n$/);
    expect(err).not.toMatch(/\n\s+at |fault of/);
  });
});

it('the command that “start” suggests can be pasted, also where the folder has a space and a quote in its name', async () => {
  const above = temporaryFolder();
  const name = 'my "new" piece';
  mkdirSync(join(above, name));
  writeFileSync(join(above, name, '1.mid'), generatedMidi(4, 1));
  const { out } = await runCli(['start', name], { cwd: above });
  expect(out).toContain('“build "my \\"new\\" piece"”');
});
