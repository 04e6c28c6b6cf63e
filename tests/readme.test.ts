import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { COMMANDS, EXIT_CODES, OPTIONS } from '../src/command-line.ts';
import { settingsTable } from '../src/read/settings/settings-table.ts';
import { sampleFolders } from './support/sample.ts';

const readme = readFileSync(resolve('README.md'), 'utf8');

describe('the README', () => {
  it('lists every setting as the table has it', () => {
    for (const row of settingsTable) {
      expect(readme).toContain(`| \`${row.key}\` | ${row.type} | ${row.description} | ${row.default} |`);
    }
  });

  it('lists every command, option and exit code', () => {
    for (const [command, help] of Object.entries(COMMANDS))
      expect(readme).toMatch(new RegExp(`\\| \`${command} (?:FOLDER|ROOT)\` \\| ${help} \\|`));
    for (const option of OPTIONS) expect(readme).toContain(`\`--${option.name}`);
    for (const [code, text] of EXIT_CODES) expect(readme).toContain(`| ${code} | ${text} |`);
  });

  it('builds a sample that is there', () => {
    const named = /dossier -- build (\S+)/.exec(readme)?.[1] ?? '';
    expect(sampleFolders()).toContain(resolve(named));
  });

  it('gives the two commands that the continuous check runs', () => {
    expect(readme).toContain('npm ci && npm test');
    expect(readFileSync(resolve('.ci/run'), 'utf8')).toContain('npm ci && npm test');
  });

  it.each(['README.md', 'DEVELOPERS.md'])('%s links to files that exist', (file) => {
    const text = readFileSync(resolve(file), 'utf8');
    const links = [...text.matchAll(/\]\((?!https?:)([^)#]+)\)/g)].map((match) => match[1] ?? '');
    for (const link of links) expect(existsSync(join(dirname(resolve(file)), link)), link).toBe(true);
  });
});

describe('the top of the repository', () => {
  it('leaves no visible file beside those that are agreed', () => {
    const made = new Set(['node_modules', 'dist', 'dossier', 'coverage']);
    const top = readdirSync(resolve('.')).filter((name) => !name.startsWith('.') && !made.has(name));
    expect(top.sort()).toEqual(
      [
        'DEVELOPERS.md',
        'LICENSE',
        'README.md',
        'package-lock.json',
        'package.json',
        'sample-input',
        'shared',
        'src',
        'templates',
        'tests',
        'tsconfig.json',
      ].sort(),
    );
  });
});
