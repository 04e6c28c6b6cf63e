/**
 * One build at a time moves files in an output folder. A build announces itself by the name of its work folder and then looks who else
 * has: of two that see one another the one whose name is larger withdraws and waits. What a build that has ended left announced
 * is no hindrance; whoever has the turn puts it right first.
 */
import { join } from 'node:path';
import type { Effects } from '../../model/effects.ts';
import { refuse } from './output-place.ts';
import { partialName, replacingName, replacingRun } from './work-names.ts';

/** Times that a build looks, about fifteen seconds; a turn takes some hundredths of one. */
const MOST_LOOKS = 600;

type Waiting = Pick<Effects, 'disk' | 'runs'>;

/** The runs that have announced themselves in this folder. */
export async function announcedRuns(place: string, { disk }: Pick<Effects, 'disk'>): Promise<readonly string[]> {
  return (await disk.list(place)).flatMap(({ name, kind }) => (kind === 'directory' ? (replacingRun(name) ?? []) : []));
}

/** Waits for the turn of `run`, whose `.partial-` folder is then its `.replacing-` folder. Throws an InputError where it never comes. */
export async function takeTurn(place: string, run: string, effects: Waiting): Promise<void> {
  const { disk, runs } = effects;
  const partial = join(place, partialName(run));
  const replacing = join(place, replacingName(run));
  let isAnnounced = false;
  let others: readonly string[] = [];
  for (let looks = 0; looks < MOST_LOOKS; looks += 1) {
    if (!isAnnounced) await disk.rename(partial, replacing);
    isAnnounced = true;
    others = (await announcedRuns(place, effects)).filter((other) => other !== run && !runs.isOver(other));
    if (others.length === 0) return;
    if (others.some((other) => other < run)) {
      await disk.rename(replacing, partial);
      isAnnounced = false;
    }
    await runs.wait();
  }
  // Nobody here knows whether a build on another machine still lives; one that takes so long does not.
  if (others.every((other) => runs.isElsewhere(other))) {
    if (!isAnnounced) await disk.rename(partial, replacing);
    return;
  }
  if (isAnnounced) await disk.rename(replacing, partial);
  throw refuse(
    place,
    'output-in-use',
    `is being written by another build: build again when that has ended, or remove “${replacingName(others[0] ?? '')}” in it if there is none.`,
  );
}
