/** Real processes: six builds at once into one folder, and builds that are killed while they write. */
import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { describe, expect, it } from 'vitest';
import { scratchFolder } from '../support/effects.ts';
import { filesUnder } from '../support/files-under.ts';
import { archiveOf, DUO, faultsIn, recordsIn, SOLO, writeExports } from '../support/kept-folder.ts';
import { nodeDisk } from '../../src/node-effects.ts';
import { runCli } from '../support/run-cli.ts';

const OWN = { 'letter.txt': 'dear', 'tables/mine.txt': 'my figures' };

function pieceIn(folder: string): string {
  writeExports(folder, { '01 Solo.mid': SOLO, '02 Duo.mid': DUO });
  return join(folder, 'dossier');
}

function hiddenIn(out: string): readonly string[] {
  return existsSync(out) ? readdirSync(out).filter((name) => /^\.(partial|replacing)-/.test(name)) : [];
}

function expectOwn(out: string): void {
  for (const [path, text] of Object.entries(OWN)) expect(readFileSync(join(out, path), 'utf8'), path).toBe(text);
}

it('a folder that comes between two looks at its place is a folder, nothing else', async () => {
  const folder = scratchFolder();
  const kinds = new Set<string>();
  for (let round = 0; round < 300; round++) {
    const path = join(folder, String(round));
    const looks = Array.from({ length: 4 }, () => nodeDisk.status(path));
    const [, ...found] = await Promise.all([nodeDisk.makeFolder(path), ...looks]);
    for (const status of found) kinds.add(status?.kind ?? 'nothing');
  }
  expect([...kinds].filter((kind) => kind !== 'nothing' && kind !== 'directory')).toEqual([]);
});

describe('six builds at once', () => {
  it('write one whole dossier and one whole archive, and leave the files of the user and nothing else', async () => {
    const folder = scratchFolder();
    const out = pieceIn(folder);
    const build = ['build', folder, '--archive', '--quiet'];
    const all = await Promise.all([1, 2, 3, 4, 5, 6].map(() => runCli(build)));
    expect(all.map(({ code, err }) => [code, err])).toEqual(all.map(() => [0, '']));
    for (const [path, text] of Object.entries(OWN)) writeFileSync(join(out, path), text);
    expect(hiddenIn(out)).toEqual([]);
    expect(faultsIn(archiveOf(folder))).toEqual([]);
    expect(recordsIn(archiveOf(folder)).size).toBe(1);
    const again = await Promise.all([runCli(build), runCli([...build, '--single-file'])]);
    expect(again.map(({ code, err }) => [code, err])).toEqual(again.map(() => [0, '']));
    expectOwn(out);
    // The last one has the say, whole: what its marker lists is there, and nothing of the other.
    const listed = readFileSync(join(out, '.arrangement-dossier'), 'utf8').split('\n').slice(1);
    expect(filesUnder(out)).toEqual([...listed, '.arrangement-dossier', ...Object.keys(OWN)].sort());
  });
});

describe.skipIf(process.platform === 'win32')('a build that is killed while it writes', () => {
  it('leaves the files of the user where they are, and the next build takes away what it had begun', async () => {
    const folder = scratchFolder();
    const out = pieceIn(folder);
    mkdirSync(join(out, 'tables'), { recursive: true });
    writeFileSync(join(out, '.arrangement-dossier'), 'arrangement-dossier output 1\nindex.html');
    writeFileSync(join(out, 'index.html'), 'old');
    for (const [path, text] of Object.entries(OWN)) writeFileSync(join(out, path), text);
    const child = spawn(process.execPath, [resolve('dist/cli.js'), 'build', folder, '--quiet'], { stdio: 'ignore' });
    const ended = new Promise<NodeJS.Signals | null>((done) =>
      child.on('close', (_, signal) => {
        done(signal);
      }),
    );
    // Writing is seen by its hidden folder with a file in it.
    const isWriting = (): boolean => hiddenIn(out).some((name) => existsSync(join(out, name, 'new', 'index.html')));
    while (!isWriting() && child.exitCode === null) await setTimeout(1);
    child.kill('SIGKILL');
    expect(await ended).toBe('SIGKILL');
    expectOwn(out);
    expect(readFileSync(join(out, 'index.html'), 'utf8')).toBe('old');
    expect(hiddenIn(out)).toHaveLength(1);
    const next = await runCli(['build', folder, '--quiet']);
    expect([next.code, next.err]).toEqual([0, '']);
    expectOwn(out);
    expect(hiddenIn(out)).toEqual([]);
    expect(readFileSync(join(out, 'index.html'), 'utf8')).toContain('<html');
  });

  it('by an earlier version gives back what that had moved into a hidden folder', async () => {
    const folder = scratchFolder();
    const out = pieceIn(folder);
    const marker = 'arrangement-dossier output 1\nindex.html';
    // A process of this number cannot be (the most on any system of POSIX kind is 4 194 304).
    for (const [name, texts] of [
      ['.dossier.previous-9999999', { '.arrangement-dossier': marker, 'index.html': 'old', 'letter.txt': 'theirs' }],
      ['dossier', { '.arrangement-dossier': marker, 'index.html': 'old', 'letter.txt': 'newer' }],
      ['.dossier.partial-9999999', { 'index.html': 'half' }],
    ] as const) {
      mkdirSync(join(folder, name));
      for (const [path, text] of Object.entries(texts)) writeFileSync(join(folder, name, path), text);
    }
    const { code, err } = await runCli(['build', folder, '--quiet']);
    expect(code).toBe(0);
    expect(err).toContain('what it had moved away is back in its place (1 item)');
    expect(readFileSync(join(out, 'letter.txt'), 'utf8')).toBe('newer');
    expect(readFileSync(join(out, 'letter (kept).txt'), 'utf8')).toBe('theirs');
    expect(readdirSync(folder).filter((name) => name.startsWith('.'))).toEqual([]);
  });
});
