/** Folders read and assembled as a build does it, without the steps that follow. */
import { basename, relative, resolve } from 'node:path';
import { assemble } from '../../src/assemble/assemble.ts';
import type { Arrangement, Stage } from '../../src/model/music/arrangement.ts';
import type { Disk } from '../../src/model/effects.ts';
import { nodeDisk } from '../../src/node-effects.ts';
import { readFolder } from '../../src/read/read-folder.ts';

async function readAnew(folder: string, disk: Disk): Promise<Arrangement> {
  return assemble(await readFolder(folder, disk, { ignore: [] }), { folderName: basename(folder) });
}

/** The samples, which no test writes into. */
const samples = new Map<string, Promise<Arrangement>>();

/** The arrangement in a folder, of the real disk or another; of a sample the same object every time. */
export async function arrangementIn(folder: string, disk: Disk = nodeDisk): Promise<Arrangement> {
  const path = resolve(folder);
  if (disk !== nodeDisk || relative(resolve('sample-input'), path).startsWith('..')) return readAnew(folder, disk);
  const known = samples.get(path) ?? readAnew(folder, disk);
  samples.set(path, known);
  return known;
}

/** Its current stage. Throws where it has none. */
export async function currentStageIn(folder: string, disk: Disk = nodeDisk): Promise<Stage> {
  const stage = (await arrangementIn(folder, disk)).stages.at(-1);
  if (stage === undefined) throw new Error(`${folder} has no stage`);
  return stage;
}
