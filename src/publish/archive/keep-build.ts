/**
 * Adds a build to an archive. Nothing that is there is written again: files lie under their hashes, and the record, which
 * makes them count, is moved into place last.
 */
import { join } from 'node:path';
import type { ArchivedBuild, ArchivedFile } from '../../model/archive.ts';
import type { Disk, Effects } from '../../model/effects.ts';
import type { Finding, FindingLevel } from '../../model/readings.ts';
import {
  ARCHIVE_FORMAT,
  ARCHIVE_MARKER,
  ARCHIVE_TITLE,
  OBJECTS,
  archiveError,
  recordName,
  sha256Of,
} from '../../read/archive/archive-layout.ts';
import type { FolderWithArchive } from '../../read/archive/read-with-archive.ts';
import type { DossierInput } from '../dossier-input.ts';

function standing(findings: readonly Finding[], level: FindingLevel): number {
  return findings.filter((finding) => finding.level === level && finding.accepted === undefined).length;
}

function filesOf({ files }: FolderWithArchive): readonly ArchivedFile[] {
  return files.flatMap(({ path, sha256, use }): ArchivedFile[] =>
    (use === 'stage' || use === 'settings' || use === 'notes') && sha256 !== '' ? [{ path, sha256, use }] : [],
  );
}

function sameFiles(one: readonly ArchivedFile[], other: readonly ArchivedFile[]): boolean {
  return JSON.stringify(one) === JSON.stringify(other);
}

/** The builds that the archive has once this one is kept; the same folder as last time is no new build. */
export function historyOf(source: FolderWithArchive, input: DossierInput): readonly Omit<ArchivedBuild, 'dossier'>[] {
  const builds = source.archive.builds.map(({ number, title, date, files, stages }) => ({
    number,
    title,
    date,
    files,
    stages,
  }));
  const files = filesOf(source);
  const last = builds.at(-1);
  if (last !== undefined && sameFiles(last.files, files)) return builds;
  const build: Omit<ArchivedBuild, 'dossier'> = {
    number: builds.length + 1,
    title: input.arrangement.title,
    date: input.arrangement.date ?? null,
    files,
    stages: input.stages.map(({ stage, findings }) => ({
      title: stage.title,
      bars: stage.timeline.bars.length,
      parts: stage.parts.length,
      seconds: Math.round(stage.seconds * 1000) / 1000,
      findings: {
        fix: standing(findings, 'fix'),
        look: standing(findings, 'look'),
        note: standing(findings, 'note'),
      },
    })),
  };
  return [...builds, build];
}

async function put(disk: Disk, path: string, content: string | Uint8Array, processId: number): Promise<void> {
  if ((await disk.status(path)) !== undefined) return;
  const unfinished = `${path}.${String(processId)}.part`;
  await disk.write(unfinished, content);
  await disk.rename(unfinished, path);
}

/** Keeps the newest build of `history`, unless the archive has it. Throws an InputError where the disk refuses. */
export async function keepBuild(
  source: FolderWithArchive,
  history: readonly Omit<ArchivedBuild, 'dossier'>[],
  dossierJson: () => string,
  { disk, processId }: Pick<Effects, 'disk' | 'processId'>,
): Promise<void> {
  const { archive, contents } = source;
  const build = history.at(-1);
  if (build === undefined || history.length === archive.builds.length) return;
  const dossier = new TextEncoder().encode(dossierJson());
  const dossierHash = sha256Of(dossier);
  const record = { format: ARCHIVE_FORMAT, previous: archive.lastRecord, ...build, dossier: dossierHash };
  const text = `${JSON.stringify(record, undefined, 1)}\n`;
  try {
    await disk.makeFolder(join(archive.folder, OBJECTS));
    await put(disk, join(archive.folder, ARCHIVE_MARKER), `${ARCHIVE_TITLE}\n`, processId);
    for (const { sha256 } of build.files) {
      const bytes = contents.get(sha256);
      if (bytes !== undefined) await put(disk, join(archive.folder, OBJECTS, sha256), bytes, processId);
    }
    await put(disk, join(archive.folder, OBJECTS, dossierHash), dossier, processId);
    await put(disk, join(archive.folder, recordName(build.number, sha256Of(text))), text, processId);
  } catch (error) {
    throw archiveError(
      'archive-not-written',
      `The dossier was written, but the archive “${archive.folder}” could not be: ${error instanceof Error ? error.message : String(error)}. What it held before is untouched.`,
    );
  }
}
