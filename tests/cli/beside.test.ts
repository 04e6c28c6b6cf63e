/** Stages are worked on in a second thread: whatever becomes of it, the dossier is the one that a single thread writes. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, expect, it, onTestFinished } from 'vitest';
import { buildDossier } from '../../src/build.ts';
import { nodeBeside } from '../../src/node-beside.ts';
import { begins, noneBegun } from '../../src/model/shared-piece.ts';
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

/** What whoever begins it first does, by its place among what is shared. */
const [JUDGED, SCORES, FULL_SCORES, PICTURED] = [0, 1, 2, 3] as const;

/** The same where this thread begins some pieces and the other one the rest, and what came back from there, by kind. */
function listening(file?: string, here: readonly number[] = []): { beside: WorkBeside; came: string[] } {
  const { beside, end } = nodeBeside(file);
  onTestFinished(end);
  const came: string[] = [];
  return {
    came,
    beside: () => {
      const send = beside();
      return (order) => {
        const begunThere = noneBegun(4);
        for (const piece of [JUDGED, SCORES, FULL_SCORES, PICTURED])
          begins(here.includes(piece) ? begunThere : order.begun, piece);
        const work = send({ ...order, begun: begunThere });
        for (const [kind, made] of Object.entries(work.given))
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

const ALL = ['fullScores', 'judged', 'pictured', 'scores', 'texts'];

it.each([
  ['judges, engraves and writes', [], ALL],
  ['engraves', [JUDGED], ['fullScores', 'pictured', 'scores', 'texts']],
  ['judges', [SCORES, FULL_SCORES, PICTURED], ['judged', 'texts']],
  ['engraves the full scores of', [JUDGED, SCORES, PICTURED], ['fullScores', 'texts']],
  ['draws the pictures of', [JUDGED, SCORES, FULL_SCORES], ['pictured', 'texts']],
  ['writes', [JUDGED, SCORES, FULL_SCORES, PICTURED], ['texts']],
])('a stage that another thread %s is the same', async (_what, here, there) => {
  const { beside, came } = listening(undefined, here);
  expect(await built(beside)).toEqual(plain);
  const pieces = ALL.map((kind) => `${kind} ${there.includes(kind) ? 'there' : 'here'}`);
  expect(came.sort()).toEqual(pieces.flatMap((piece) => [piece, piece]).sort());
});

it('whatever this thread takes over, the stages are the same', async () => {
  const { beside, end } = nodeBeside();
  onTestFinished(end);
  expect(await built(beside)).toEqual(plain);
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
  expect(new Set(came)).toEqual(new Set(ALL.map((kind) => `${kind} here`)));
});
