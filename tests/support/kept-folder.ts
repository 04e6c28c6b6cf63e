/** A folder of tiny exports and its archive, kept without the pages in between; and what is in an archive, read independently. */
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Effects } from '../../src/model/effects.ts';
import { withDiskFailuresTold } from '../../src/problems/disk-failure.ts';
import { InputError, type Problem } from '../../src/problems/problem.ts';
import { historyOf, keepBuild } from '../../src/publish/archive/keep-build.ts';
import type { DossierInput, PublishedStage } from '../../src/publish/dossier-input.ts';
import { readWithArchive } from '../../src/read/archive/read-with-archive.ts';
import { testEffects } from './effects.ts';
import { filesUnder } from './files-under.ts';
import { midiFile, note, track, trackName } from './midi-bytes.ts';
import { smallDossier } from './published.ts';

/** One part with these keys, in quarters. */
export function sketch(...keys: readonly number[]): Uint8Array {
  return midiFile(1, 480, track(trackName('Piano'), ...keys.map((key) => note(key, 480))));
}

export const SOLO = sketch(60, 62, 64, 65);
export const DUO = sketch(60, 64, 67, 72);

export function writeExports(folder: string, exports: Readonly<Record<string, Uint8Array>>): void {
  mkdirSync(folder, { recursive: true });
  for (const [name, bytes] of Object.entries(exports)) writeFileSync(join(folder, name), bytes);
}

export interface Kept {
  readonly input: DossierInput;
  /** Problems of the folder, then what was said about the archive. */
  readonly problems: readonly Problem[];
}

/** What a build with `--archive` does apart from the music and the pages. `stages`: only the first so many are shown. */
export function keepFolder(folder: string, effects: Effects = testEffects(), stages = Infinity): Promise<Kept> {
  return withDiskFailuresTold(() => keep(folder, effects, stages));
}

async function keep(folder: string, effects: Effects, stages: number): Promise<Kept> {
  const archive = archiveOf(folder);
  const source = await readWithArchive(folder, archive, effects.disk, { ignore: [archive, join(folder, 'dossier')] });
  if (source.raw.stages.length === 0) throw new InputError(source.raw.problems);
  const {
    stages: [any],
  } = smallDossier();
  if (any === undefined) throw new Error('the small dossier has no stage');
  const shown = source.raw.stages
    .slice(0, stages)
    .map(({ name }): PublishedStage => ({ ...any, stage: { ...any.stage, title: name } }));
  const input = smallDossier({ stages: shown });
  const history = historyOf(source, input);
  const text = JSON.stringify({ stages: shown.map(({ stage }) => stage.title), history });
  const remarks = await keepBuild(
    source,
    history,
    {
      dossierJson: () => text,
      picture: '<svg ></svg>',
      done: undefined,
      newest: '2026-02-03',
      style: () => Promise.resolve(''),
    },
    effects,
  );
  return { input: { ...input, history }, problems: [...source.raw.problems, ...remarks] };
}

export function archiveOf(folder: string): string {
  return join(folder, 'dossier-archive');
}

export function sha256(bytes: Uint8Array | string): string {
  return createHash('sha256').update(bytes).digest('hex');
}

/** Every file under a folder with its hash. */
export function hashesUnder(folder: string): Readonly<Record<string, string>> {
  return Object.fromEntries(filesUnder(folder).map((path) => [path, sha256(readFileSync(join(folder, path)))]));
}

interface PlainRecord {
  readonly parents: readonly string[];
  readonly files: readonly { readonly path: string; readonly sha256: string }[];
  readonly dossier: string;
}

/** The records as they lie on the disk, by their hash. */
export function recordsIn(archive: string): ReadonlyMap<string, PlainRecord> {
  const folder = join(archive, 'records');
  if (!existsSync(folder)) return new Map();
  return new Map(
    readdirSync(folder)
      .filter((name) => /^[0-9a-f]{64}\.json$/.test(name))
      .sort()
      .map((name) => [name.slice(0, 64), JSON.parse(readFileSync(join(folder, name), 'utf8')) as PlainRecord]),
  );
}

/** What is not as an archive promises: a hash that is not that of the bytes, a file or a parent that is named and not there. */
export function faultsIn(archive: string): readonly string[] {
  const faults: string[] = [];
  const objects = join(archive, 'objects');
  const records = recordsIn(archive);
  const names = existsSync(objects) ? readdirSync(objects).filter((name) => !name.endsWith('.part')) : [];
  for (const name of names) {
    if (sha256(readFileSync(join(objects, name))) !== name) faults.push(`objects/${name} has other bytes`);
  }
  for (const [hash, { parents, files, dossier }] of records) {
    if (sha256(readFileSync(join(archive, 'records', `${hash}.json`))) !== hash) faults.push(`${hash} has other bytes`);
    for (const wanted of [dossier, ...files.map((file) => file.sha256)])
      if (!names.includes(wanted)) faults.push(`${hash} wants ${wanted}`);
    for (const parent of parents) if (!records.has(parent)) faults.push(`${hash} follows ${parent}`);
  }
  return faults;
}
