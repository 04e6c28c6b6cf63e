/** Folders of two stages with one to three known edits between them, drawn by seed from the pieces of one half. */
import { flow } from '../../src/library.ts';
import { compareStages, type ComparedStage } from '../../src/analyse/compare-stages.ts';
import type { StageChange } from '../../src/model/readings/readings.ts';
import type { Stage } from '../../src/model/music/arrangement.ts';
import { diskOfFolder } from '../support/memory-disk.ts';
import { seeded } from '../support/playing.ts';
import { arrangementIn } from '../support/read-stages.ts';
import * as barEdits from './bar-edits.ts';
import type { Base } from './bases.ts';
import type { Draw, Edit, Edited } from './claims.ts';
import * as partEdits from './part-edits.ts';
import * as passageEdits from './passage-edits.ts';
import { bytesOf, type Sheet } from './sheet.ts';

const BAR_EDITS: readonly (readonly [string, Edit])[] = Object.entries(barEdits);
const PART_EDITS: readonly (readonly [string, Edit])[] = [
  ...Object.entries(partEdits),
  ...Object.entries(passageEdits),
];

/** How the later stage came to be: the same file, another export of the same playing, or all played in anew. */
export type Manner = 'same' | 'export' | 'take';
const MANNERS: readonly Manner[] = ['same', 'export', 'take'];

export interface EditFolder {
  readonly name: string;
  readonly manner: Manner;
  readonly edits: readonly string[];
  readonly edited: Edited;
  readonly files: ReadonlyMap<string, Uint8Array>;
}

function shuffled<Item>(items: readonly Item[], next: () => number): Item[] {
  const left = [...items];
  for (let last = left.length - 1; last > 0; last--) {
    const other = Math.floor(next() * (last + 1));
    [left[last], left[other]] = [left[other]!, left[last]!];
  }
  return left;
}

const TICKS = 960;
const COARSE_TICKS = [480, 96] as const;

/** `count` folders of a piece: in the first three nothing is edited, and then every kind of edit comes once before any comes again. */
export function foldersOf(base: Base, count: number, seed: number): readonly EditFolder[] {
  const next = seeded(seed);
  let waiting: (readonly [string, Edit])[] = [];
  const folders: EditFolder[] = [];
  for (let index = 0; index < count; index++) {
    const manner = MANNERS[index % 3]!;
    const wanted = index < MANNERS.length ? 0 : 1 + Math.floor(next() * 3);
    const [first, ...takes] = base.takes;
    const start = manner === 'take' ? (takes[Math.floor(index / MANNERS.length) % takes.length] ?? first) : first;
    let edited: Edited = { before: first, after: start, claims: [], touched: [] };
    const done: string[] = [];
    const touched = new Set<number>();
    const draw: Draw = { next, isFree: ({ key }) => !touched.has(key), isEven: base.isEven, isTake: manner === 'take' };
    const put: (readonly [string, Edit])[] = [];
    let hasBarEdit = false;
    while (put.length < wanted) {
      if (waiting.length === 0) waiting = shuffled([...BAR_EDITS, ...PART_EDITS], next);
      const place = waiting.findIndex(([name]) => !(hasBarEdit && name in barEdits));
      const [chosen] = waiting.splice(Math.max(0, place), 1);
      if (chosen === undefined || place < 0) break;
      if (chosen[0] in barEdits) hasBarEdit = true;
      put.push(chosen);
    }
    // Bars are moved last, so that no part is edited in bars that were copied.
    for (const [name, edit] of put.sort(([one], [other]) => Number(one in barEdits) - Number(other in barEdits))) {
      const made = edit(edited, draw);
      if (made === undefined) continue;
      for (const key of made.touched) touched.add(key);
      edited = { ...made, claims: [...edited.claims, ...made.claims], touched: [...touched] };
      done.push(name);
    }
    const ticks = manner === 'export' ? COARSE_TICKS[Math.floor(next() * 2)]! : TICKS;
    const files = new Map([
      ['01 Before.mid', bytesOf(edited.before, TICKS)],
      ['02 After.mid', bytesOf(edited.after, ticks)],
    ]);
    folders.push({ name: `${base.name} ${String(index + 1)}`, manner, edits: done, edited, files });
  }
  return folders;
}

export interface ComparedFolder {
  readonly change: StageChange;
  readonly before: Stage;
  readonly after: Stage;
}

const known = new WeakMap<Sheet, ComparedStage>();

/** Reads and compares the two stages as a build does. */
export async function comparedFolder({ files, edited }: Pick<EditFolder, 'files' | 'edited'>): Promise<ComparedFolder> {
  const { stages } = await arrangementIn('/edits', diskOfFolder('/edits', files));
  const [before, after] = stages.map((stage, index): ComparedStage => {
    const sheet = index === 0 ? edited.before : edited.after;
    const made = known.get(sheet);
    if (made !== undefined && JSON.stringify(made.stage) === JSON.stringify(stage)) return made;
    const written = flow.notateStage(stage);
    const compared = { stage, written, readings: flow.analyseStage(stage, written) };
    known.set(sheet, compared);
    return compared;
  });
  if (before === undefined || after === undefined) throw new Error('a folder of two stages was not read as two');
  return { change: compareStages(before, after), before: before.stage, after: after.stage };
}
