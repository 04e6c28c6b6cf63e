/** Scores as MusicXML in a second reader: what it complains of and where its notes are not ours, over folders of many kinds and open scores. */
import type { Stage } from '../../src/model/music/arrangement.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { KINDS } from '../kinds/folders.ts';
import { stageOfKind } from '../support/kind-stage.ts';
import { readMxl } from '../support/musicxml-score.ts';
import { openFile, openFiles } from '../support/open-data.ts';
import { stageOfScore } from '../support/score-stage.ts';
import { secondReaderDoubts } from '../support/second-reader.ts';

async function printOne(name: string, stage: Stage): Promise<boolean> {
  const doubts = await secondReaderDoubts(stage, notateStage(stage));
  for (const doubt of doubts) console.log(`    ${name}: ${doubt}`);
  return doubts.length === 0;
}

/** Reads everything and prints each doubt and how many scores had none. */
export async function printReader(): Promise<void> {
  console.log('MusicXML in a second reader (verovio 6.3.0): full and reduced score of each');
  const clean: boolean[] = [];
  for (const folder of KINDS) clean.push(await printOne(folder.id, await stageOfKind(folder)));
  for (const set of ['openscore-quartets', 'openscore-lieder', 'openscore-orchestra']) {
    for (const name of openFiles(set)) {
      const { stage } = stageOfScore(readMxl(openFile(set, name)), { foreground: 'Violin 1' });
      clean.push(await printOne(name, stage));
    }
  }
  console.log(`  ${String(clean.filter(Boolean).length)} of ${String(clean.length)} read without a doubt`);
}
