/** Whether a dossier can be put where it is to go, asked before any work is done. */
import { basename, dirname, join, resolve, sep } from 'node:path';
import type { Disk, Effects } from '../model/effects.ts';
import { InputError } from '../problems/problem.ts';
import { checkOutputFolder } from './write-folder.ts';

function refuse(folder: string, code: string, message: string): InputError {
  return new InputError([{ kind: 'usage', code, file: '', message: `“${folder}” ${message}` }]);
}

/** The nearest folder above that is there. */
async function nearestAbove(disk: Disk, folder: string): Promise<string> {
  const above = dirname(folder);
  if (above === folder || (await disk.status(above)) !== undefined) return above;
  return nearestAbove(disk, above);
}

/** Throws an InputError where the dossier that stands there cannot be exchanged for the new one. */
async function checkExchange(disk: Disk, folder: string, place: string): Promise<void> {
  const stoodIn = (await disk.realPath(resolve('.'))) ?? resolve('.');
  if (stoodIn === place || stoodIn.startsWith(place + sep)) {
    throw refuse(
      folder,
      'output-stood-in',
      'is the folder you stand in, and the new dossier is put in its place: go to another folder first, or choose another place with --out.',
    );
  }
  const [inside, outside] = [await disk.status(place), await disk.status(dirname(place))];
  if (inside?.device !== outside?.device) {
    throw refuse(
      folder,
      'output-mount-point',
      'is a disk of its own, which cannot be exchanged as a whole: choose a folder inside it with --out.',
    );
  }
}

/**
 * Throws an InputError where no dossier can be written to this folder (an absolute path): it is not ours, the disk takes nothing, or
 * it cannot be exchanged. What is tried for that is removed again.
 */
export async function checkOutput(
  folder: string,
  { disk, runs, withoutInterruption }: Pick<Effects, 'disk' | 'runs' | 'withoutInterruption'>,
): Promise<void> {
  await checkOutputFolder(disk, folder);
  const place = (await disk.realPath(folder)) ?? folder;
  if ((await disk.status(place)) !== undefined) await checkExchange(disk, folder, place);
  await withoutInterruption(async () => {
    const run = runs.begin();
    const trial = join(await nearestAbove(disk, place), `.${basename(place)}.partial-${run}`);
    try {
      await disk.makeFolder(trial);
    } finally {
      await disk.remove(trial).catch(() => undefined);
      runs.end(run);
    }
  });
}
