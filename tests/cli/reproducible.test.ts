import { cpSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { sampleDossier } from '../support/built-pages.ts';
import { contentsUnder } from '../support/files-under.ts';
import { runCli, temporaryFolder } from '../support/run-cli.ts';
import { sampleFolders } from '../support/sample.ts';

describe('two builds of one folder', () => {
  it.each([
    ['folder', []],
    ['single', ['--single-file']],
  ] as const)('in two places are equal byte for byte (%s)', async (form, options) => {
    const [sample = ''] = sampleFolders();
    const there = join(temporaryFolder(), 'a', 'deeper', 'place');
    const copy = join(there, basename(sample));
    cpSync(sample, copy, { recursive: true, filter: (path) => !path.endsWith('dossier') });
    const result = await runCli(['build', copy, '--quiet', ...options], { cwd: there });
    expect(result.code, result.err).toBe(0);
    const here = await sampleDossier(form);
    const [first, second] = [contentsUnder(here), contentsUnder(join(copy, 'dossier'))];
    expect([...first.keys()]).toEqual([...second.keys()]);
    for (const [path, content] of first) {
      expect(second.get(path) === content, path).toBe(true);
      for (const place of [dirname(sample), dirname(here), there])
        expect(content.includes(place), `${path} names the place where it was made`).toBe(false);
    }
  });
});
