import { basename, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { flow } from '../../src/library.ts';
import type { Stage } from '../../src/model/arrangement.ts';
import { nodeEffects } from '../../src/node-effects.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { freePiano } from '../kinds/folders/free-piano.ts';
import { swingCombo } from '../kinds/folders/swing-combo.ts';
import { memoryDisk } from '../support/memory-disk.ts';
import type { Disk } from '../../src/model/effects.ts';
import { sampleFolders } from '../support/sample.ts';
import { secondReaderDoubts } from '../support/second-reader.ts';

async function currentStage(folder: string, disk: Disk): Promise<Stage> {
  const raw = await flow.readFolder(folder, disk, { ignore: [] });
  const stage = flow.assemble(raw, { folderName: folder }).stages.at(-1);
  if (stage === undefined) throw new Error(`${folder} has no stage`);
  return stage;
}

// Reader: verovio 6.3.0, which goes by values where ours go by durations. More folders: `npm run bench:accuracy -- reader`.
describe('the scores as MusicXML in a second reader', () => {
  it.each(sampleFolders().map((folder) => [basename(folder), folder] as const))(
    '%s: no warning, the same notes at the same places',
    async (_, folder) => {
      const stage = await currentStage(folder, nodeEffects().disk);
      expect(await secondReaderDoubts(stage, notateStage(stage))).toEqual([]);
    },
  );

  it.each([
    ['swung, with drums', swingCombo],
    ['in free time', freePiano],
  ])('a folder %s: the same', async (_, kind) => {
    const entries = [...kind.files(1)].map(([path, bytes]) => [`/kind/${path}`, bytes] as const);
    const stage = await currentStage('/kind', memoryDisk(Object.fromEntries(entries)));
    expect(await secondReaderDoubts(stage, notateStage(stage))).toEqual([]);
  });

  it('hears a note that is not there, and one that is missing', async () => {
    const [folder = ''] = sampleFolders();
    const stage = await currentStage(resolve(folder), nodeEffects().disk);
    const written = notateStage(stage);
    const [first, ...rest] = written.parts;
    if (first === undefined) throw new Error('a sample without parts');
    const moved = {
      ...first,
      notes: first.notes.map((note, index) => (index === 5 ? { ...note, midi: note.midi + 12 } : note)),
    };
    expect((await secondReaderDoubts(stage, { ...written, parts: [moved, ...rest] })).length).toBe(2);
  });
});
