/** What builds that were killed have left: thrown away where it was unfinished, put back where it had gone half-way. */
import { basename, dirname, extname, join } from 'node:path';
import type { Disk, Effects } from '../../model/effects.ts';
import { OUTPUT_MARKER } from '../../model/output-marker.ts';
import { counted } from '../../model/words/plain-words.ts';
import type { Problem } from '../../problems/problem.ts';
import { listedIn, treeOf } from './output-place.ts';
import { holdsWhatWas, newFilesIn, putBack } from './replace-files.ts';
import { announcedRuns, takeTurn } from './take-turn.ts';
import { partialName, partialRun, replacingName } from './work-names.ts';

type Recovering = Pick<Effects, 'disk' | 'runs'>;

/** What was left by a program that cannot be asked, on another machine, is thrown away after this time. */
const MOST_MS = 86_400_000;

/** Throws away a work folder that nothing is to be put back from: under its new name it may go in any order. */
async function withdraw(disk: Disk, place: string, run: string): Promise<void> {
  await disk.rename(join(place, replacingName(run)), join(place, partialName(run)));
  await disk.remove(join(place, partialName(run)));
}

/** Throws away the work folder of this run, unless something still has to be put back from it. */
export async function discard(disk: Disk, place: string, run: string): Promise<void> {
  await disk.remove(join(place, partialName(run)));
  if ((await disk.status(join(place, replacingName(run)))) === undefined) return;
  if (!(await holdsWhatWas(disk, join(place, replacingName(run))))) await withdraw(disk, place, run);
}

/** Puts back what builds that have ended had half replaced. Only for whoever has the turn. Returns how many there were. */
export async function putAllBack(place: string, { disk, runs }: Recovering): Promise<number> {
  const ended = (await announcedRuns(place, { disk })).filter((run) => runs.isOver(run));
  for (const run of ended) {
    await putBack(disk, place, join(place, replacingName(run)));
    await withdraw(disk, place, run);
  }
  return ended.length;
}

/** Throws away the work folders of builds that have ended while they wrote. A disk that refuses is asked again next time. */
export async function removePartials(place: string, own: string, { disk, runs }: Recovering): Promise<void> {
  const now = (await disk.status(join(place, own)))?.modifiedMs;
  for (const { name, kind } of await disk.list(place).catch(() => [])) {
    const run = partialRun(name);
    if (kind !== 'directory' || run === undefined) continue;
    const since = (await disk.status(join(place, name)))?.modifiedMs;
    const isOld = now !== undefined && since !== undefined && now - since > MOST_MS;
    if (runs.isOver(run) || (runs.isElsewhere(run) && isOld)) {
      await disk.remove(join(place, name)).catch(() => undefined);
    }
  }
}

/** A name in the folder that nothing has: `letter.txt`, else `letter (kept).txt` and so on. */
async function freeName(disk: Disk, place: string, path: string): Promise<string> {
  const extension = extname(path);
  const stem = path.slice(0, path.length - extension.length);
  for (let count = 0; ; count += 1) {
    const name = count === 0 ? path : `${stem} (kept${count === 1 ? '' : ` ${String(count)}`})${extension}`;
    if ((await disk.status(join(place, name))) === undefined) return name;
  }
}

/** Brings what others had put into a dossier that an earlier version had moved away, and was killed before it brought it back. */
async function bringBack(disk: Disk, previous: string, place: string): Promise<number> {
  const bytes = await disk.read(join(previous, OUTPUT_MARKER)).catch(() => undefined);
  const listed = listedIn(new TextDecoder().decode(bytes));
  const strangers = [...(await treeOf(disk, previous)).files].filter(
    (path) => path !== OUTPUT_MARKER && !listed.has(path),
  );
  for (const path of strangers) {
    const target = join(place, await freeName(disk, place, path));
    await disk.makeFolder(dirname(target));
    await disk.rename(join(previous, path), target);
  }
  await disk.remove(previous);
  return strangers.length;
}

/** Earlier versions wrote beside the folder: `.dossier.partial-4711` and, for a moment, `.dossier.previous-4711`. */
async function recoverBeside(place: string, { disk, runs }: Recovering): Promise<number> {
  const parent = dirname(place);
  const prefix = `.${basename(place)}.`;
  let brought = 0;
  for (const { name, kind } of await disk.list(parent).catch(() => [])) {
    if (kind !== 'directory' || !name.startsWith(prefix)) continue;
    const [, purpose, run = ''] = /^(partial|previous)-([0-9a-f-]+)$/.exec(name.slice(prefix.length)) ?? [];
    if (purpose === undefined || !runs.isOver(run)) continue;
    if (purpose === 'partial') await disk.remove(join(parent, name));
    else if ((await disk.status(place)) === undefined) {
      await disk.rename(join(parent, name), place);
      brought += 1;
    } else brought += await bringBack(disk, join(parent, name), place);
  }
  return brought;
}

function remark(place: string, what: string): Problem {
  const message = `A build of “${place}” was broken off before: ${what}.`;
  return { kind: 'remark', code: 'output-recovered', file: '', message };
}

/** Puts everything right that killed builds have left, before the next build begins. Returns what there is to say about it. */
export async function recoverOutput(place: string, effects: Recovering): Promise<readonly Problem[]> {
  const { disk, runs } = effects;
  const remarks: Problem[] = [];
  const brought = await recoverBeside(place, effects);
  if (brought > 0)
    remarks.push(remark(place, `what it had moved away is back in its place (${counted(brought, 'item')})`));
  const status = await disk.status(place);
  if (status?.kind !== 'directory') return remarks;
  const announced = await announcedRuns(place, effects);
  if (!announced.some((run) => runs.isOver(run))) {
    await removePartials(place, '', effects);
    return remarks;
  }
  const run = runs.begin();
  try {
    await disk.makeFolder(newFilesIn(join(place, partialName(run))));
    await takeTurn(place, run, effects);
    const count = await putAllBack(place, effects);
    if (count > 0) remarks.push(remark(place, 'the dossier from before it was put back'));
  } finally {
    await discard(disk, place, run).catch(() => undefined);
    runs.end(run);
  }
  await removePartials(place, '', effects);
  return remarks;
}
