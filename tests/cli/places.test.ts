/** Where the program is installed, where it stands and where it is to write: whatever is wrong there is one sentence and no fault of ours. */
import { spawn, spawnSync } from 'node:child_process';
import {
  closeSync,
  cpSync,
  existsSync,
  mkdirSync,
  openSync,
  readdirSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { checkOutputFolder, writeFolder } from '../../src/publish/write-folder.ts';
import { nodeDisk } from '../../src/node-effects.ts';
import { testEffects } from '../support/effects.ts';
import { generatedMidi } from '../support/generated-folder.ts';
import { runCli, temporaryFolder } from '../support/run-cli.ts';

function smallFolder(): string {
  const folder = temporaryFolder();
  writeFileSync(join(folder, '1.mid'), generatedMidi(4, 1));
  return folder;
}

describe('a dossier that is to go', () => {
  it.runIf(process.platform === 'linux')(
    'into /proc, where no folder can be made, is refused before any work',
    async () => {
      const result = await runCli(['build', smallFolder(), '--out', '/proc/dossier']);
      expect([result.code, result.out]).toEqual([2, '']);
      expect(result.err).toMatch(/^.*“\/proc” cannot be written because [^\n]+\.\n$/);
    },
  );

  it('over the folder one stands in, or a folder in it, is written there', async () => {
    const folder = smallFolder();
    const out = join(folder, 'dossier');
    expect((await runCli(['build', folder, '--quiet'])).code).toBe(0);
    const before = [readdirSync(out), statSync(out).ino];
    for (const cwd of [out, join(out, 'tables')]) {
      const { code, err } = await runCli(['build', folder, '--quiet'], { cwd });
      expect([code, err]).toEqual([0, '']);
    }
    expect([readdirSync(out), statSync(out).ino]).toEqual(before);
  });

  it('onto a disk of its own writes nothing beside it, where another disk begins', async () => {
    const out = join(temporaryFolder(), 'stick');
    mkdirSync(out);
    const inside =
      <T>(operation: (path: string, other?: string) => Promise<T>) =>
      (path: string, other = path): Promise<T> => {
        if (![path, other].every((each) => each === out || each.startsWith(join(out, '/')))) throw new Error(path);
        return operation(path, other);
      };
    const effects = testEffects({
      makeFolder: inside(nodeDisk.makeFolder),
      rename: inside((from, to = '') => nodeDisk.rename(from, to)),
      keepCopy: inside((from, to = '') => nodeDisk.keepCopy(from, to)),
      remove: inside(nodeDisk.remove),
    });
    for (const text of ['first', 'second']) {
      await checkOutputFolder(out, effects);
      await writeFolder([{ path: 'index.html', content: () => text }], out, effects);
    }
    expect(readdirSync(out)).toEqual(['.arrangement-dossier', 'index.html']);
  });
});

it.skipIf(process.platform === 'win32')('a folder one stands in that was removed meanwhile does not matter', () => {
  const [folder, gone] = [smallFolder(), temporaryFolder()];
  const script = 'rmdir "$1" && exec "$2" "$3" build "$4" --quiet';
  const paths = ['sh', gone, process.execPath, resolve('dist/cli.js'), folder];
  const { status, stderr } = spawnSync('sh', ['-c', script, ...paths], { cwd: gone, encoding: 'utf8' });
  expect([status, stderr]).toEqual([0, '']);
  expect(existsSync(join(folder, 'dossier', 'index.html'))).toBe(true);
});

it('of many problems the first are told, and that the dossier lists the others only where there is one', async () => {
  const folder = temporaryFolder();
  for (let count = 1; count <= 30; count += 1) writeFileSync(join(folder, `${String(count)}.mid`), 'no music');
  const refused = await runCli(['build', folder, '--quiet']);
  expect([refused.code, /\n… and (\d+) more(.*)\.\n$/.exec(refused.err)?.slice(1)]).toEqual([3, ['11', '']]);
  writeFileSync(join(folder, '31.mid'), generatedMidi(4, 1));
  const built = await runCli(['build', folder, '--quiet']);
  expect([built.code, /\n… and (\d+) more(.*)\.\n$/.exec(built.err)?.slice(1)]).toEqual([
    0,
    ['10', ', listed in the dossier'],
  ]);
});

it('a broken package.json where one stands does not matter', async () => {
  const folder = smallFolder();
  writeFileSync(join(folder, 'package.json'), '{ "name": ');
  expect((await runCli(['build', '.', '--quiet'], { cwd: folder })).code).toBe(0);
  expect(existsSync(join(folder, 'dossier', 'index.html'))).toBe(true);
});

it('installed in folders named as the patterns that find files it writes its pages', () => {
  const names = ['a+(x)', '{a,b}', process.platform === 'win32' ? '[a]!(b)' : '[a]!(b) *'];
  const home = join(temporaryFolder(), ...names);
  mkdirSync(home, { recursive: true });
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
