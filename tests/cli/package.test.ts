/** The package as another program gets it: packed, unpacked elsewhere, run as a command and imported as the README shows. */
import { spawnSync } from 'node:child_process';
import {
  cpSync,
  existsSync,
  mkdirSync,
  readFileSync,
  readdirSync,
  realpathSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { beforeAll, describe, expect, it } from 'vitest';
import { noticesText } from '../../shared/notices/make-notices.mjs';
import { generatedMidi } from '../support/generated-folder.ts';
import { temporaryFolder } from '../support/run-cli.ts';

/** Files of a tar archive (POSIX.1-1988 ustar: blocks of 512 bytes, name at 0, size in octal at 124, prefix at 345). */
function unpack(archive: Buffer, folder: string): void {
  const text = (from: number, length: number): string =>
    archive.toString('utf8', from, from + length).replace(/\0.*$/s, '');
  for (let at = 0; at + 512 <= archive.length && archive[at] !== 0;) {
    const size = Number.parseInt(text(at + 124, 12), 8);
    const name = [text(at + 345, 155), text(at, 100)].filter((part) => part !== '').join('/');
    const path = join(folder, name);
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, archive.subarray(at + 512, at + 512 + size));
    at += 512 * (1 + Math.ceil(size / 512));
  }
}

let elsewhere = '';
const installed = (): string => join(elsewhere, 'node_modules', 'arrangement-dossier');

function run(args: readonly string[], cwd = elsewhere): { code: number | null; out: string; err: string } {
  const { status, stdout, stderr } = spawnSync(process.execPath, args, { cwd, encoding: 'utf8' });
  return { code: status, out: stdout, err: stderr };
}

beforeAll(() => {
  const source = temporaryFolder();
  for (const name of ['src', 'shared', 'templates', 'package.json', 'README.md', 'LICENSE', '.eleventy.js'])
    cpSync(resolve(name), join(source, name), { recursive: true });
  symlinkSync(resolve('node_modules'), join(source, 'node_modules'));
  const packed = spawnSync('npm', ['pack', '--offline', '--silent'], { cwd: source, encoding: 'utf8' });
  expect(packed.status, packed.stderr).toBe(0);
  const name = readdirSync(source).find((entry) => entry.endsWith('.tgz')) ?? '';
  elsewhere = temporaryFolder();
  unpack(gunzipSync(readFileSync(join(source, name))), join(elsewhere, 'unpacked'));
  cpSync(join(elsewhere, 'unpacked', 'package'), installed(), { recursive: true });
  symlinkSync(resolve('node_modules'), join(installed(), 'node_modules'));
  mkdirSync(join(elsewhere, 'piece'));
  writeFileSync(join(elsewhere, 'piece', '1.mid'), generatedMidi(8, 2));
});

describe('the package', () => {
  it('holds what it needs to run and its licences, and no tests or samples', () => {
    const top = readdirSync(join(elsewhere, 'unpacked', 'package')).sort();
    expect(top).toEqual(['.eleventy.js', 'LICENSE', 'README.md', 'dist', 'package.json', 'shared', 'templates']);
    expect(readdirSync(join(installed(), 'dist'))).toContain('package.d.ts');
  });

  it('works as a command', () => {
    const { bin } = JSON.parse(readFileSync(join(installed(), 'package.json'), 'utf8')) as {
      bin: Record<string, string>;
    };
    const built = run([join(installed(), bin['arrangement-dossier'] ?? ''), 'build', 'piece', '--quiet']);
    expect([built.code, built.out]).toEqual([0, '']);
    expect(readFileSync(join(elsewhere, 'piece', 'dossier', 'index.html'), 'utf8')).toContain('</html>');
  });

  it('works as an import, by the very lines that the README shows', () => {
    const lines = /```js\n(.*?)```/s.exec(readFileSync(resolve('README.md'), 'utf8'))?.[1] ?? '';
    expect(lines.trim().split('\n').length).toBeLessThanOrEqual(10);
    writeFileSync(join(elsewhere, 'show.mjs'), lines);
    const shown = run(['show.mjs', 'piece']);
    expect(shown.code, shown.err).toBe(0);
    expect(shown.out).toMatch(/^piece \(Stage 1\): \d+ findings\n/);
    const missing = run(['show.mjs', 'nowhere']);
    expect(missing.code).toBe(1);
    expect(missing.err).toContain('InputError');
  });

  it('builds several folders at once, each named from where the caller stands', () => {
    for (const name of ['one', 'two', 'three'])
      cpSync(join(elsewhere, 'piece', '1.mid'), join(elsewhere, name, '1.mid'));
    const lines = `
      import { buildFolder } from 'arrangement-dossier';
      import { setTimeout } from 'node:timers/promises';
      const builds = [buildFolder('one'), buildFolder('two', { out: 'second' })];
      const stood = process.cwd();
      while (process.cwd() === stood) await setTimeout(1);
      builds.push(buildFolder('three'));
      for (const { folder } of await Promise.all(builds)) console.log(folder);
      console.log(process.cwd() === stood);`;
    writeFileSync(join(elsewhere, 'several.mjs'), lines);
    const built = run(['several.mjs']);
    const folders = ['one/dossier', 'second', 'three/dossier'].map((path) => join(realpathSync(elsewhere), path));
    expect([built.err, built.out.trim().split('\n')]).toEqual(['', [...folders, 'true']]);
    for (const folder of folders) expect(existsSync(join(folder, 'index.html')), folder).toBe(true);
  });

  it('has types that a compiler follows', () => {
    writeFileSync(
      join(elsewhere, 'typed.mts'),
      "import { checkFolder } from 'arrangement-dossier';\n" +
        "export const levels: ('fix' | 'look' | 'note')[] = (await checkFolder('piece')).findings.map((found) => found.level);\n" +
        '// @ts-expect-error: a number is no folder\nawait checkFolder(3);\n',
    );
    const options = ['--noEmit', '--strict', '--module', 'nodenext', '--target', 'es2022', 'typed.mts'];
    const typed = run([resolve('node_modules/typescript/bin/tsc'), ...options]);
    expect([typed.code, typed.out]).toEqual([0, '']);
  });
});

it('the notices name every package that is bundled, as it is installed', async () => {
  expect(readFileSync(resolve('shared/notices/third-party.txt'), 'utf8')).toBe(await noticesText());
});
