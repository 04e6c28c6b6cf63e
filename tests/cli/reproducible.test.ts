import { cpSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { contentsUnder } from '../support/files-under.ts';
import { runCli, temporaryFolder } from '../support/run-cli.ts';
import { sampleFolders } from '../support/sample.ts';

describe('two builds of one folder', () => {
  it.each([[[]], [['--single-file']]])('in two places are equal byte for byte %j', async (options) => {
    const [sample = ''] = sampleFolders();
    const name = sample.split(/[\\/]/).at(-1) ?? 'sample';
    const outputs = [];
    for (const place of [temporaryFolder(), join(temporaryFolder(), 'a', 'deeper', 'place')]) {
      cpSync(sample, join(place, name), { recursive: true, filter: (path) => !path.endsWith('dossier') });
      const result = await runCli(['build', join(place, name), '--quiet', ...options], { cwd: place });
      expect(result.code, result.err).toBe(0);
      outputs.push({ place, files: contentsUnder(join(place, name, 'dossier')) });
    }
    const [first, second] = outputs;
    expect([...(first?.files.keys() ?? [])]).toEqual([...(second?.files.keys() ?? [])]);
    for (const [path, content] of first?.files ?? []) {
      expect(second?.files.get(path) === content, path).toBe(true);
      expect(content.includes(first?.place ?? '?'), `${path} names the place where it was made`).toBe(false);
    }
  });
});
