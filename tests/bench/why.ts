/**
 * Why a note is written as it is: what each step decided for the notes of a bar, and by how much the next best lost.
 *
 *   npm run why -- FOLDER --bar 12 --part viola [--stage NAME]
 */
import { parseArgs } from 'node:util';
import { readArrangement } from '../../src/build.ts';
import { nodeEffects } from '../../src/node-effects.ts';
import { InputError } from '../../src/problems/problem.ts';
import { problemLine } from '../../src/terminal-text.ts';
import { whySheet } from './why/sheet.ts';

const USAGE = 'npm run why -- FOLDER --bar NUMBER --part NAME [--stage NAME]';

async function lines(): Promise<readonly string[]> {
  const { values, positionals } = parseArgs({
    allowPositionals: true,
    options: { bar: { type: 'string' }, part: { type: 'string' }, stage: { type: 'string' } },
  });
  const [folder] = positionals;
  const bar = Number(values.bar);
  if (folder === undefined || values.part === undefined || !Number.isInteger(bar)) return [USAGE];
  const { stage: name, part } = values;
  const arrangement = await readArrangement({ folder, ...(name === undefined ? {} : { stage: name }) }, nodeEffects());
  const stage = arrangement.stages.at(-1);
  return stage === undefined ? [] : whySheet(stage, { bar, part });
}

try {
  console.log((await lines()).join('\n'));
} catch (error) {
  if (!(error instanceof InputError)) throw error;
  for (const problem of error.problems) console.error(problemLine(problem));
  process.exitCode = 2;
}
