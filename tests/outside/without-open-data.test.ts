/**
 * The tests pass with the clone alone. Where the whole open data lie beside the repository, that is tried with their folder hidden; where they
 * do not, the run itself is the proof.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { temporaryFolder } from '../support/run-cli.ts';
import { hasWholeData, openDataFolder } from '../support/open-data.ts';

const SHIPPED = 'tests/data';
/** What the project made itself and ships beside the open data: no part of the whole. */
const OWN = ['sound'];
const NOWHERE = resolve('tests/no-open-data');

function filesUnder(folder: string): readonly string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))
    .sort();
}

const sources = filesUnder('tests')
  .filter((path) => path.endsWith('.ts'))
  .map((path) => ({ path, text: readFileSync(path, 'utf8') }));
const THIS = join('tests', 'outside', 'without-open-data.test.ts');
const users = sources.filter(({ path, text }) => path !== THIS && /open-data\.ts'/.test(text));

/** The test runner in a process of its own, as from the command line, with the data hidden. */
function runner(args: readonly string[]) {
  const env = Object.fromEntries(
    Object.entries(process.env).filter(([name]) => !/^VITEST|^TEST$|^NODE_ENV$/.test(name)),
  );
  return spawnSync(
    process.execPath,
    ['node_modules/vitest/vitest.mjs', ...args, '-c', '.vitest.config.ts', '--maxWorkers=1'],
    {
      env: { ...env, DOSSIER_OPEN_DATA: NOWHERE },
      encoding: 'utf8',
      maxBuffer: 2 ** 26,
    },
  );
}

describe('the open data', () => {
  it('are asked for in one place, so that hiding them hides them from every test', () => {
    const others = sources.filter(({ path, text }) => /shared\/data|DOSSIER_OPEN_DATA/.test(text) && path !== THIS);
    expect(others.map(({ path }) => path)).toEqual([join('tests', 'support', 'open-data.ts')]);
  });

  it('that the repository ships are each named with its licence', () => {
    const told = readFileSync(join(SHIPPED, 'LICENCES.md'), 'utf8');
    for (const entry of readdirSync(SHIPPED)) if (entry !== 'LICENCES.md') expect(told).toContain(`\`${entry}\``);
    for (const licence of ['CC0-1.0.txt', 'BSD-3-Clause.txt']) expect(existsSync(join(SHIPPED, licence))).toBe(true);
  });

  it.runIf(existsSync('.git'))('that the repository ships come with a clone (skipped without one)', () => {
    const { status, stdout } = spawnSync('git', ['-c', 'safe.directory=*', 'ls-files', '-z', SHIPPED], {
      encoding: 'utf8',
    });
    if (status !== 0) return;
    const listed = stdout.split('\0');
    expect(filesUnder(SHIPPED).filter((path) => !listed.includes(path))).toEqual([]);
  });
});

describe.runIf(hasWholeData)(
  `without the whole open data${hasWholeData ? '' : ' (skipped: they are hidden from this run already)'}`,
  () => {
    // What a test finds for one shipped score it also finds here, where that score is one of many.
    it('every shipped file is one of the whole, so that its tests run here too', () => {
      const sets = readdirSync(SHIPPED, { withFileTypes: true }).filter((entry) => entry.isDirectory());
      const open = sets.map(({ name }) => name).filter((name) => !OWN.includes(name));
      expect(open.length).toBe(sets.length - OWN.length);
      for (const path of open.flatMap((name) => filesUnder(join(SHIPPED, name))))
        expect(readFileSync(path).equals(readFileSync(join(openDataFolder, path.slice(SHIPPED.length)))), path).toBe(
          true,
        );
    });

    it('every file that asks for them has tests', () => {
      const suites = users.map(({ path }) => path).filter((path) => path.endsWith('.test.ts'));
      expect(suites.length).toBeGreaterThan(8);
      const list = join(temporaryFolder(), 'tests.json');
      const { status, stderr } = runner(['list', `--json=${list}`, ...suites]);
      expect(status, stderr).toBe(0);
      const listed = JSON.parse(readFileSync(list, 'utf8')) as readonly { readonly file: string }[];
      const found = new Set(listed.map(({ file }) => file));
      expect(suites.filter((path) => !found.has(resolve(path)))).toEqual([]);
    });

    // Whatever sums over a set or asks for one file by name says hasWholeData; all else goes score by score.
    it('the tests that sum over them or name one of them pass', () => {
      const suites = users.filter(({ path, text }) => path.endsWith('.test.ts') && text.includes('hasWholeData'));
      expect(suites.length).toBeGreaterThan(2);
      for (const { path, text } of users)
        if (!text.includes('hasWholeData')) expect(text, path).not.toMatch(/openFile\([^)]*'[^']*\.mxl'/);
      const { status, stdout, stderr } = runner(['run', ...suites.map(({ path }) => path)]);
      expect(status, `${stdout}\n${stderr}`).toBe(0);
      expect(stdout).toContain('Skipped:');
    });
  },
);
