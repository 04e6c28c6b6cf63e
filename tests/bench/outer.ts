/** How often the reduced scores of the folders of many kinds have the highest and the lowest sounding note. */
import { notateStage } from '../../src/notate/notate-stage.ts';
import { KINDS } from '../kinds/folders.ts';
import { stageOfKind } from '../support/kind-stage.ts';
import type { OuterNotes } from '../support/outer-notes.ts';
import { outerNotes } from '../support/outer-notes.ts';

function row(name: string, { moments, highest, lowest }: OuterNotes): string {
  const percent = (count: number): string => `${((100 * count) / moments).toFixed(1)} %`;
  return `    ${name.padEnd(20)} highest ${percent(highest)}, lowest ${percent(lowest)} of ${String(moments)} moments`;
}

/** Prints a row a folder, and all of them. */
export async function printOuterNotes(): Promise<void> {
  console.log('the highest and the lowest sounding note in the reduced score');
  const counts: OuterNotes[] = [];
  for (const folder of KINDS) {
    const stage = await stageOfKind(folder);
    const count = outerNotes(stage, notateStage(stage));
    counts.push(count);
    console.log(row(folder.id, count));
  }
  const sum = (of: (count: OuterNotes) => number): number => counts.reduce((all, count) => all + of(count), 0);
  console.log(
    row('all', {
      moments: sum(({ moments }) => moments),
      highest: sum(({ highest }) => highest),
      lowest: sum(({ lowest }) => lowest),
    }),
  );
}
