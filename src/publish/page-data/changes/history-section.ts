/** The builds that an archive keeps: what was in the folder each time, and what came, changed and went between. */
import type { ArchivedFile, KeptBuild } from '../../../model/readings/archive.ts';
import { counted, listText } from '../../../model/words/plain-words.ts';
import type { DossierInput } from '../../dossier-input.ts';
import { cell, firstRows, type LinkedTable, type SheetSection } from '../page-frame/sheet.ts';

const MOST_FILES = 6;

/** Which files came, changed and went since the build before. */
export function differenceText(before: readonly ArchivedFile[] | undefined, files: readonly ArchivedFile[]): string {
  if (before === undefined) return `the first: ${counted(files.length, 'file')}`;
  const earlier = new Map(before.map(({ path, sha256 }) => [path, sha256]));
  const now = new Set(files.map(({ path }) => path));
  const fresh = files.filter(({ path }) => !earlier.has(path)).map(({ path }) => path);
  const changed = files.filter(({ path, sha256 }) => (earlier.get(path) ?? sha256) !== sha256).map(({ path }) => path);
  const gone = before.filter(({ path }) => !now.has(path)).map(({ path }) => path);
  const pieces = [
    ...(fresh.length === 0 ? [] : [`new: ${listText(fresh, MOST_FILES)}`]),
    ...(changed.length === 0 ? [] : [`changed: ${listText(changed, MOST_FILES)}`]),
    ...(gone.length === 0 ? [] : [`not in the folder any more: ${listText(gone, MOST_FILES)}`]),
  ];
  return pieces.length === 0 ? 'the same files' : pieces.join('; ');
}

/** What stood against the last stage, in a few words. */
export function standingText({ stages }: KeptBuild): string {
  const current = stages.at(-1);
  if (current === undefined) return '–';
  const { fix, look, note } = current.findings;
  return `${current.title}: ${String(fix)} to fix, ${String(look)} to check, ${String(note)} for information`;
}

/** The section "Builds that were kept", the newest first; none where no archive is kept. */
export function historySection({ history = [] }: DossierInput): readonly SheetSection[] {
  if (history.length === 0) return [];
  const byNumber = new Map(history.map((build) => [build.number, build]));
  const before = ({ follows: [first] }: KeptBuild): KeptBuild | undefined =>
    first === undefined ? undefined : byNumber.get(first);
  const rows = history.map((build) => [
    cell(String(build.number)),
    cell(build.date ?? '–'),
    cell(
      listText(
        build.stages.map(({ title }) => title),
        MOST_FILES,
      ),
    ),
    cell(differenceText(before(build)?.files, build.files)),
    cell(standingText(build)),
  ]);
  const table: LinkedTable = {
    caption: 'Builds in the archive',
    columns: [
      { label: 'Build', isNumeric: true },
      { label: 'Date in the settings', isNumeric: false },
      { label: 'Stages shown', isNumeric: false },
      { label: 'Files against the build before', isNumeric: false },
      { label: 'Findings of the current stage', isNumeric: false },
    ],
    ...firstRows([...rows].reverse(), 'dossier.json'),
  };
  return [
    {
      id: 'change-history',
      heading: 'Builds that were kept',
      partial: 'linked-table.njk',
      downloads: [],
      body: {
        intro:
          'Every build is kept beside the dossier with its files and their hashes; a stage whose export is gone from the folder is shown from there.',
        table,
      },
    },
  ];
}
