/**
 * Faults planted at random places (seeded) of the folders on which constants may be set, one at a time: which share is told, by kind of fault and by
 * kind of music, and what else is said that was not said before. Every second folder may be tuned on, the others are reported.
 *
 *   npm run bench:plants [-- tuning|reported] [-- tell] [-- seed=2] [-- NAME of a fault ...]
 */
import { tellsFlaw } from '../kinds/judge/verdicts.ts';
import { judgeKind } from '../kinds/judge/judge-kind.ts';
import type { JudgedKind, SaidFinding } from '../kinds/judge/judge-kind.ts';
import { KINDS } from '../kinds/folders.ts';
import type { KindFolder } from '../kinds/kind.ts';
import { FORM } from '../kinds/plant/form.ts';
import { INAUDIBLE } from '../kinds/plant/inaudible.ts';
import { keysByTrack, withEdits } from '../kinds/plant/midi-folder.ts';
import type { Plant, Planting } from '../kinds/plant/scene.ts';
import { randomOf, sceneOf } from '../kinds/plant/scene.ts';
import { UNPLAYABLE } from '../kinds/plant/unplayable.ts';
import { WRONG_NOTES } from '../kinds/plant/wrong-notes.ts';

const PLANTS: readonly Plant[] = [...UNPLAYABLE, ...INAUDIBLE, ...WRONG_NOTES, ...FORM];

interface Outcome {
  readonly folder: KindFolder;
  readonly plant: Plant;
  readonly planting: Planting;
  readonly isFound: boolean;
  /** Said now and not before, besides what tells the fault. */
  readonly further: readonly SaidFinding[];
}

const words = process.argv.slice(2);
const half = words.find((word) => word === 'tuning' || word === 'reported');
const isTold = words.includes('tell');
const seed = Number(words.find((word) => word.startsWith('seed='))?.slice(5) ?? 1);

/** Those that are named among the words; all of them where none is. */
function asked<Item>(all: readonly Item[], nameOf: (item: Item) => string): readonly Item[] {
  const named = all.filter((item) => words.includes(nameOf(item)));
  return named.length === 0 ? all : named;
}

function wasSaid(finding: SaidFinding, before: JudgedKind): boolean {
  return before.findings.some(
    (old) =>
      old.rule === finding.rule &&
      old.from <= finding.to &&
      old.to >= finding.from &&
      (finding.tracks.length === 0 || old.tracks.some((track) => finding.tracks.includes(track))),
  );
}

async function outcomeOf(folder: KindFolder, plant: Plant, before: JudgedKind): Promise<Outcome | undefined> {
  const files = folder.files(seed);
  const random = randomOf(`${folder.id}/${plant.name}/${String(seed)}`);
  const planting = plant.plant(sceneOf(folder, before.stage.timeline.bars, keysByTrack(files), random));
  if (planting === undefined) return undefined;
  const after = await judgeKind({ ...folder, files: () => withEdits(files, planting.edits) }, seed);
  const flaw = {
    id: plant.name,
    bars: [planting.from, planting.to] as const,
    parts: planting.parts,
    rules: plant.rules,
    say: plant.name,
    weigh: true,
  };
  const telling = after.findings.filter(
    (finding) =>
      tellsFlaw(finding, flaw, after.bars.length) && !before.findings.some((old) => old.message === finding.message),
  );
  return {
    folder,
    plant,
    planting,
    isFound: telling.length > 0,
    further: after.findings.filter((finding) => !telling.includes(finding) && !wasSaid(finding, before)),
  };
}

const outcomes: Outcome[] = [];
const halves = KINDS.filter((_, index) => half === undefined || (half === 'tuning') === (index % 2 === 0));
const named = asked(KINDS, ({ id }) => id);
const folders = halves.filter((folder) => folder.truth.onGrid && named.includes(folder));
const plants = asked(PLANTS, ({ name }) => name);
for (const folder of folders) {
  const before = await judgeKind(folder, seed);
  for (const plant of plants) {
    const outcome = await outcomeOf(folder, plant, before);
    if (outcome !== undefined) outcomes.push(outcome);
  }
}

function row(title: string, own: readonly Outcome[]): string {
  const found = own.filter(({ isFound }) => isFound).length;
  const further = own.reduce((sum, each) => sum + each.further.length, 0);
  const share = own.length === 0 ? '-' : `${((100 * found) / own.length).toFixed(0)} %`;
  return `  ${title.padEnd(32)} ${String(found).padStart(3)} of ${String(own.length).padStart(3)}  ${share.padStart(5)}   ${String(further)} further`;
}

console.log(`faults planted in ${String(folders.length)} folders, half: ${half ?? 'both'}, seed ${String(seed)}`);
console.log(row('all', outcomes));
for (const group of ['unplayable', 'inaudible', 'wrong notes', 'form'] as const) {
  const own = outcomes.filter(({ plant }) => plant.group === group);
  console.log(row(group, own));
  for (const plant of plants.filter((each) => each.group === group)) {
    console.log(
      row(
        `  ${plant.name}`,
        own.filter((each) => each.plant === plant),
      ),
    );
  }
}
for (const folder of folders)
  console.log(
    row(
      folder.id,
      outcomes.filter((each) => each.folder === folder),
    ),
  );
if (isTold) {
  for (const { folder, plant, planting, isFound, further } of outcomes) {
    const place = `${plant.name} in ${folder.id} ${String(planting.from)}-${String(planting.to)} {${planting.parts.join(' | ')}}`;
    console.log(`${isFound ? 'found' : 'MISSED'} ${place}`);
    for (const { level, rule, from, to, message } of further) {
      console.log(`     besides ${level} ${rule} ${String(from)}-${String(to)}: ${message}`);
    }
  }
}
