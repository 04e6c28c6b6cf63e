/** How often the reduced scores of the folders of many kinds have the highest and the lowest sounding note. */
import { notateStage } from '../../src/notate/notate-stage.ts';
import { KINDS } from '../kinds/folders.ts';
import { stageOfKind } from '../support/kind-stage.ts';
import type { OuterNotes } from '../support/outer-notes.ts';
import { outerNotes } from '../support/outer-notes.ts';
import type { BenchLine } from './kept-figures.ts';

function line(name: string, { moments, highest, lowest }: OuterNotes): BenchLine {
  const percent = (count: number): string => `${((100 * count) / moments).toFixed(1)} %`;
  return { on: name, text: `highest ${percent(highest)}, lowest ${percent(lowest)} of ${String(moments)} moments` };
}

/** A line a folder, and all of them. */
export async function outerLines(): Promise<readonly BenchLine[]> {
  const counts: OuterNotes[] = [];
  const lines: BenchLine[] = [];
  for (const folder of KINDS) {
    const stage = await stageOfKind(folder);
    const count = outerNotes(stage, notateStage(stage));
    counts.push(count);
    lines.push(line(folder.id, count));
  }
  const sum = (of: (count: OuterNotes) => number): number => counts.reduce((all, count) => all + of(count), 0);
  const all = {
    moments: sum(({ moments }) => moments),
    highest: sum(({ highest }) => highest),
    lowest: sum(({ lowest }) => lowest),
  };
  return [...lines, line('all', all)];
}

/** Prints them. */
export async function printOuterNotes(): Promise<void> {
  console.log('the highest and the lowest sounding note in the reduced score');
  for (const { on, text } of await outerLines()) console.log(`    ${on.padEnd(20)} ${text}`);
}
