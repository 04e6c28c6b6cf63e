/**
 * Adds a build to an archive. Files and records lie under their hashes and are moved into place whole, the record after its files
 * and the head after the record: wherever that is broken off, and whoever adds at the same time, the archive is whole.
 */
import { join } from 'node:path';
import type { ArchivedFile, KeptBuild } from '../../model/readings/archive.ts';
import type { Disk, Effects } from '../../model/effects.ts';
import { listText } from '../../model/words/plain-words.ts';
import { standingByLevel } from '../../model/readings/standing.ts';
import { sha256Of } from '../../model/hashes.ts';
import type { Problem } from '../../problems/problem.ts';
import { usageError } from '../../problems/problem.ts';
import {
  ARCHIVE_FORMAT,
  ARCHIVE_PAGE,
  HEAD,
  OBJECTS,
  PART_NAME,
  RECORDS,
  headText,
  recordSchema,
} from '../../read/archive/archive-layout.ts';
import { readObject } from '../../read/archive/check-objects.ts';
import { archiveRemark, buildsOf, type Archive } from '../../read/archive/read-archive.ts';
import { readHeads, readRecords } from '../../read/archive/read-records.ts';
import type { FolderWithArchive } from '../../read/archive/read-with-archive.ts';
import type { DossierInput } from '../dossier-input.ts';
import { archiveIndex, type ShownBuild } from './archive-index.ts';
import { isPicture } from './archive-picture.ts';
import { makeArchive, reasonOf } from './archive-place.ts';
import { mendObjects } from './mend-objects.ts';
import { placeFile, putFile, removeQuietly } from './put-file.ts';

type Writing = Pick<Effects, 'disk' | 'runs'>;

function filesOf({ files }: FolderWithArchive): readonly ArchivedFile[] {
  return files.flatMap(({ path, sha256, use }): ArchivedFile[] =>
    (use === 'stage' || use === 'settings' || use === 'notes') && sha256 !== '' ? [{ path, sha256, use }] : [],
  );
}

/** What a build has besides what the dossier itself shows of it. */
export interface BuildExtras {
  readonly dossierJson: () => string;
  /** Markup of the picture of the whole piece; '' where there is none. */
  readonly picture: string;
  /** What was done to the music since the build before, in sentences; undefined where nobody can tell. */
  readonly done: readonly string[] | undefined;
  /** Day of the newest file. */
  readonly newest: string | undefined;
  /** Style sheets of the page of the archive. */
  readonly style: () => Promise<string>;
}

/** What makes one build another than the last: other files, or other stages shown of the same. */
function subjectOf({ files, stages }: Pick<KeptBuild, 'files' | 'stages'>): string {
  return JSON.stringify([files, stages.map(({ title }) => title)]);
}

/**
 * The builds that the archive has once this one is kept. The same stages of the same folder as last time are no new build, unless
 * the archive grew apart: then one more brings it together.
 */
export function historyOf(source: FolderWithArchive, input: DossierInput): readonly KeptBuild[] {
  const { tips } = source.archive;
  const builds = source.archive.builds.map(({ number, follows, title, date, files, stages }) => ({
    number,
    follows,
    title,
    date,
    files,
    stages,
  }));
  const build: KeptBuild = {
    number: builds.length + 1,
    follows: tips.map(({ number }) => number),
    title: input.arrangement.title,
    date: input.arrangement.date ?? null,
    files: filesOf(source),
    stages: input.stages.map(({ stage, findings }) => ({
      title: stage.title,
      bars: stage.timeline.bars.length,
      parts: stage.parts.length,
      seconds: Math.round(stage.seconds * 1000) / 1000,
      findings: standingByLevel(findings),
    })),
  };
  const last = tips.length === 1 ? builds.find(({ number }) => number === tips[0]?.number) : undefined;
  return last !== undefined && subjectOf(last) === subjectOf(build) ? builds : [...builds, build];
}

/** Writes an object unless it is there whole. */
async function putObject({ folder }: Archive, bytes: Uint8Array, effects: Writing): Promise<string> {
  const sha256 = sha256Of(bytes);
  if (typeof (await readObject(effects.disk, folder, sha256)) === 'string')
    await putFile(join(folder, OBJECTS, sha256), bytes, effects);
  return sha256;
}

async function putRecord(
  { archive, contents }: FolderWithArchive,
  build: KeptBuild,
  dossier: Uint8Array,
  { picture, newest, done }: BuildExtras,
  effects: Writing,
): Promise<void> {
  for (const { sha256 } of build.files) {
    const bytes = contents.get(sha256);
    if (bytes !== undefined) await putObject(archive, bytes, effects);
  }
  const { title, date, files, stages } = build;
  const record = recordSchema.parse({
    format: ARCHIVE_FORMAT,
    number: archive.nextNumber,
    parents: [...archive.tips.map(({ sha256 }) => sha256), ...archive.unreadTips].sort(),
    title,
    date,
    files,
    stages,
    dossier: await putObject(archive, dossier, effects),
    newest: newest ?? null,
    ...(done === undefined ? {} : { done: [...done] }),
    picture: picture === '' ? null : await putObject(archive, new TextEncoder().encode(picture), effects),
  });
  const text = `${JSON.stringify(record, undefined, 1)}\n`;
  await placeFile(join(archive.folder, RECORDS, `${sha256Of(text)}.json`), text, effects);
}

/** Takes away what programs that were ended left half written. */
async function removeParts(folder: string, { disk, runs }: Writing): Promise<void> {
  for (const path of [folder, join(folder, OBJECTS), join(folder, RECORDS)]) {
    for (const { name, kind } of await disk.list(path)) {
      const run = PART_NAME.exec(name)?.[1];
      if (kind === 'file' && run !== undefined && runs.isOver(run)) await removeQuietly(disk, join(path, name));
    }
  }
}

/** Names the records that no other follows, those that others have added meanwhile with them. */
async function writeHead({ folder, headCopies }: Archive, effects: Writing): Promise<void> {
  const { records } = await readRecords(effects.disk, folder);
  const followed = new Set(records.flatMap(({ parents }) => parents));
  const tips = records.map(({ sha256 }) => sha256).filter((sha256) => !followed.has(sha256));
  const { records: named, isWhole } = await readHeads(effects.disk, folder);
  const isSame =
    isWhole && headCopies.length === 0 && named.length === tips.length && named.every((hash) => tips.includes(hash));
  if (isSame) return;
  await putFile(join(folder, HEAD), headText(tips), effects);
  for (const name of headCopies) await removeQuietly(effects.disk, join(folder, name));
}

/** Writes the page of the archive, unless it is there as it would be written. */
async function writePage({ folder }: Archive, { style }: BuildExtras, effects: Writing): Promise<void> {
  const { records } = await readRecords(effects.disk, folder);
  const builds: ShownBuild[] = [];
  for (const build of buildsOf(records)) {
    const bytes = build.picture === undefined ? '' : await readObject(effects.disk, folder, build.picture);
    const text = typeof bytes === 'string' ? '' : new TextDecoder().decode(bytes);
    builds.push({ ...build, picture: isPicture(text) ? text : '' });
  }
  const path = join(folder, ARCHIVE_PAGE);
  const page = archiveIndex(builds, await style());
  const there = await effects.disk.read(path).catch(() => undefined);
  if (there === undefined || new TextDecoder().decode(there) !== page) await putFile(path, page, effects);
}

function forkRemark({ folder, builds, tips }: Archive): readonly Problem[] {
  if (tips.length < 2) return [];
  const named = listText(
    tips.map(({ number }) => `build ${String(number)}`),
    4,
  );
  const both = tips.length === 2 ? 'both' : 'all';
  return [
    archiveRemark(
      'archive-fork',
      `The archive “${folder}” had grown apart into ${named}, as when two machines or two builds at once add to it: ${both} are kept, and build ${String(builds.length + 1)} follows ${both}.`,
    ),
  ];
}

/**
 * Keeps the newest build of `history`, unless the archive has it, and mends what is damaged. Returns what there is to say about the
 * archive. Throws an InputError where the disk refuses.
 */
export async function keepBuild(
  source: FolderWithArchive,
  history: readonly KeptBuild[],
  extras: BuildExtras,
  effects: Writing & { readonly disk: Disk },
): Promise<readonly Problem[]> {
  const { archive, contents } = source;
  const build = history.length === archive.builds.length ? undefined : history.at(-1);
  const remarks = [...archive.remarks];
  try {
    await makeArchive(archive.folder, effects);
    const dossier = new TextEncoder().encode(extras.dossierJson());
    const dossierHash = sha256Of(dossier);
    const atHand = (sha256: string): Uint8Array | undefined =>
      sha256 === dossierHash ? dossier : contents.get(sha256);
    remarks.push(...(await mendObjects(archive, atHand, effects)));
    if (build !== undefined) {
      await putRecord(source, build, dossier, extras, effects);
      remarks.push(...forkRemark(archive));
    }
  } catch (error) {
    throw usageError(
      'archive-not-written',
      `The dossier was written, but this build could not be kept in the archive “${archive.folder}”: ${reasonOf(error)}. What the archive held before is untouched.`,
    );
  }
  try {
    // From the moment that the record has its name the build is kept, whatever comes.
    await effects.disk.makeNamesLast(join(archive.folder, RECORDS));
    await writeHead(archive, effects);
    await writePage(archive, extras, effects);
    await removeParts(archive.folder, effects);
  } catch (error) {
    const message = `This build is in the archive “${archive.folder}”, but its list of the last builds or its page could not be brought up to date: ${reasonOf(error)}. The next build does that.`;
    remarks.push(archiveRemark('archive-head-not-written', message));
  }
  return remarks;
}
