/** A file of the user's own that bears the name of one of the dossier's is told before any work, not at the end of it. */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { buildDossier } from '../../src/build.ts';
import { InputError } from '../../src/problems/problem.ts';
import { commonNames, namesOfStages } from '../../src/publish/dossier-names.ts';
import { scratchFolder, testEffects } from '../support/effects.ts';
import { generatedMidi } from '../support/generated-folder.ts';

const scratch = scratchFolder();
let count = 0;

interface Built {
  readonly files: readonly string[];
  readonly stages: readonly { readonly id: string }[];
}

/** A folder of three small stages. */
function pieceFolder(): string {
  count += 1;
  const folder = join(scratch, `piece-${String(count)}`);
  mkdirSync(folder);
  for (const stage of [1, 2, 3]) writeFileSync(join(folder, `0${String(stage)} take.mid`), generatedMidi(4, stage));
  return folder;
}

async function build(folder: string, singleFile: boolean, steps: string[] = []): Promise<Built> {
  const onProgress = (text: string): number => steps.push(text);
  const { files, input } = await buildDossier({ folder, singleFile, onProgress }, testEffects());
  return { files, stages: input.stages.map(({ stage }) => stage) };
}

describe.each([
  ['a dossier of pages', false],
  ['a single file', true],
])('%s', (_, singleFile) => {
  it('has no name but those that are known beforehand, and the pages of its full scores', async () => {
    const { files, stages } = await build(pieceFolder(), singleFile);
    const known = new Set([...commonNames(singleFile), ...namesOfStages({ stages }, singleFile)]);
    expect(files.filter((name) => !known.has(name) && !/full-score-\w+\.html$/.test(name))).toEqual([]);
    // Only playing without a click has a proposal.
    expect([...known].filter((name) => !files.includes(name))).toEqual(['tempo-proposal.mid']);
  });

  it('is refused where a file of the user has one of its names, before anything is worked out', async () => {
    const folder = pieceFolder();
    const { files } = await build(folder, singleFile);
    const out = join(folder, 'dossier');
    const marker = join(out, '.arrangement-dossier');
    const listed = readFileSync(marker, 'utf8');
    for (const name of files) {
      // What the marker does not list is the user's own.
      writeFileSync(
        marker,
        listed
          .split('\n')
          .filter((line) => line !== name)
          .join('\n'),
      );
      const before = readFileSync(join(out, name), 'utf8');
      const steps: string[] = [];
      const error = await build(folder, singleFile, steps).then(
        () => undefined,
        (thrown: unknown) => thrown,
      );
      if (!(error instanceof InputError)) throw new Error(`${name} was not refused`, { cause: error });
      expect(error.problems.map(({ message }) => message)).toEqual([
        `“${out}” holds “${name}”, which this program did not write and whose name its own files have: move that away, or choose another place with --out.`,
      ]);
      // Names that every dossier has are looked for before the folder is even read.
      const isCommon = commonNames(singleFile).includes(name);
      expect(steps).toEqual(isCommon ? [] : ['reading the folder', 'putting the parts together']);
      expect(readFileSync(join(out, name), 'utf8')).toBe(before);
    }
  });
});

it('a further page of a long full score is such a name, one of another stage or a copy of it is not', async () => {
  const folder = pieceFolder();
  const { stages } = await build(folder, false);
  const out = join(folder, 'dossier');
  const own = [`copy-of-${stages[0]?.id ?? ''}.html`, 'stage-09-brass.html', 'full-score-concert-2 (old).html'];
  for (const name of [...own, 'mine/index.html']) {
    mkdirSync(dirname(join(out, name)), { recursive: true });
    writeFileSync(join(out, name), 'mine');
  }
  await build(folder, false);
  writeFileSync(join(out, 'full-score-concert-2.html'), 'mine');
  await expect(build(folder, false)).rejects.toThrow('holds “full-score-concert-2.html”');
});
