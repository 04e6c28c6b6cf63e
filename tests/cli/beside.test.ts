/** Stages are worked on in a second thread: whatever becomes of it, the dossier is the one that a single thread writes. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, expect, it, onTestFinished } from 'vitest';
import { buildDossier } from '../../src/build.ts';
import { nodeBeside } from '../../src/node-beside.ts';
import type { WorkBeside } from '../../src/stage-work.ts';
import { scratchFolder, testEffects } from '../support/effects.ts';
import { contentsUnder } from '../support/files-under.ts';
import { generatedMidi } from '../support/generated-folder.ts';

const folder = join(scratchFolder(), 'piece');

async function built(beside?: WorkBeside): Promise<ReadonlyMap<string, string>> {
  const out = join(scratchFolder(), 'out');
  await buildDossier({ folder, out, singleFile: false, ...(beside === undefined ? {} : { beside }) }, testEffects());
  return contentsUnder(out);
}

/** The same, and what came back from the other thread, by kind. */
function listening(file?: string): { beside: WorkBeside; came: string[] } {
  const { beside, end } = nodeBeside(file);
  onTestFinished(end);
  const came: string[] = [];
  return {
    came,
    beside: () => {
      const send = beside();
      return (order) => {
        const work = send(order);
        for (const [kind, made] of Object.entries(work))
          void made.then((result) => came.push(`${kind} ${result === undefined ? 'here' : 'there'}`));
        return work;
      };
    },
  };
}

let plain: ReadonlyMap<string, string>;

beforeAll(async () => {
  mkdirSync(folder, { recursive: true });
  for (const stage of [1, 2]) writeFileSync(join(folder, `0${String(stage)} s.mid`), generatedMidi(4, stage + 1));
  writeFileSync(join(folder, 'remarks.md'), '## Bar 2, viola\n\nIs this too low?\n');
  plain = await built();
});

it('a stage that another thread judges, engraves and writes is the same', async () => {
  const { beside, came } = listening();
  expect(await built(beside)).toEqual(plain);
  expect(came.sort()).toEqual(['engravings there', 'judged there', 'texts there'].flatMap((piece) => [piece, piece]));
});

it.each([
  ['cannot be started', undefined],
  ['ends at once', 'process.exit(0);'],
  [
    'breaks off at its first stage',
    "import { parentPort } from 'node:worker_threads'; parentPort.on('message', () => { throw new Error('no'); });",
  ],
])('a thread that %s costs nothing but time', async (_what, script) => {
  const file = join(scratchFolder(), 'thread.mjs');
  if (script !== undefined) writeFileSync(file, script);
  const { beside, came } = listening(file);
  expect(await built(beside)).toEqual(plain);
  expect(new Set(came)).toEqual(new Set(['engravings here', 'judged here', 'texts here']));
});
