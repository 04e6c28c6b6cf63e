import { basename } from 'node:path';
import { describe, expect, it } from 'vitest';
import { freePiano } from '../kinds/folders/free-piano.ts';
import { bigBand } from '../kinds/folders/big-band.ts';
import { swingCombo } from '../kinds/folders/swing-combo.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { stageOfKind } from '../support/kind-stage.ts';
import { currentStageIn } from '../support/read-stages.ts';
import { sampleFolders } from '../support/sample.ts';
import { secondReaderDoubts } from '../support/second-reader.ts';
import { notated } from '../support/notated.ts';

// Reader: verovio 6.3.0, which goes by values where ours go by durations. More folders: `npm run bench:accuracy -- reader`.
describe('the scores as MusicXML in a second reader', () => {
  it.each(sampleFolders().map((folder) => [basename(folder), folder] as const))(
    '%s: no warning, the same notes at the same places',
    async (_, folder) => {
      const stage = await currentStageIn(folder);
      expect(await secondReaderDoubts(stage, notated(stage))).toEqual([]);
    },
  );

  it.each([
    ['swung, with drums', swingCombo],
    ['in free time', freePiano],
    ['of a big band, its choirs on staves of their own', bigBand],
  ])('a folder %s: the same', async (_, kind) => {
    const stage = await stageOfKind(kind);
    expect(await secondReaderDoubts(stage, notated(stage))).toEqual([]);
  });

  it('an octave sign that ends with its bar does not reach over the bar line', async () => {
    const timeline = timelineOf(3);
    const flute = partOf('flute', 'A4:0:4 C6:4:4 C5:8:4', timeline, { role: 'foreground' });
    const organ = { ...partOf('organ', 'A2:0:4 G0:4:4 A2:8:4', timeline), id: 'organ' };
    const stage = stageOf([flute, organ], timeline);
    expect(await secondReaderDoubts(stage, notated(stage))).toEqual([]);
  });

  it('hears a note that is not there, and one that is missing', async () => {
    const [folder = ''] = sampleFolders();
    const stage = await currentStageIn(folder);
    const written = notated(stage);
    const [first, ...rest] = written.parts;
    if (first === undefined) throw new Error('a sample without parts');
    const moved = {
      ...first,
      notes: first.notes.map((note, index) => (index === 5 ? { ...note, midi: note.midi + 12 } : note)),
    };
    expect((await secondReaderDoubts(stage, { ...written, parts: [moved, ...rest] })).length).toBe(2);
  });
});
