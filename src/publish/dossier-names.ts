/** The names that a dossier needs in its folder, as far as they are known before anything is worked out. */
import type { Effects } from '../model/effects.ts';
import type { Arrangement } from '../model/music/arrangement.ts';
import { distantPairs } from '../analyse/compare/distant-pairs.ts';
import { audioPath } from './audio/audio-names.ts';
import { TABLE_NAMES } from './data/csv-tables.ts';
import { TEMPO_PROPOSAL } from './data/tempo-proposal-midi.ts';
import { scorePath } from './musicxml/score-files.ts';
import { comparisonFileName } from './page-data/changes/changes-page.ts';
import { isFullScoreFileName } from './page-data/score/full-score-pages.ts';
import { numbersFileName } from './page-data/charts/numbers-page.ts';
import { tablePath } from './data/chart-names.ts';
import { stageFileName } from './page-data/page-frame/stage-context.ts';
import { checkOutputNames } from './write-folder.ts';

/** Name of the one page of a single file. */
export const SINGLE_FILE_NAME = 'dossier.html';

/** Names that every dossier has, whatever it is about. */
export function commonNames(singleFile: boolean): readonly string[] {
  return [
    'dossier.json',
    TEMPO_PROPOSAL,
    ...(singleFile
      ? [SINGLE_FILE_NAME]
      : ['index.html', 'client-sheet.html', 'changes.html', 'judged.html', 'files.html', 'numbers.html']),
  ];
}

/** What the names of its files are made of. */
interface Named extends Pick<Arrangement, 'audio'> {
  readonly stages: readonly { readonly id: string }[];
}

/** Names of the pages, tables, scores and audio of these stages, without those of the full scores, whose number is not known yet. */
export function namesOfStages({ stages, audio = [] }: Named, singleFile: boolean): readonly string[] {
  const ids = stages.map(({ id }) => id);
  const named = stages.map((stage) => ({ stage }));
  const pages = [
    ...stages.flatMap((_, index) => [stageFileName(named, index), numbersFileName(named, index)]),
    ...distantPairs(ids.length).map(([before, after]) => comparisonFileName(before, after)),
  ];
  return [
    ...(singleFile ? [] : pages),
    ...ids.flatMap((id) => TABLE_NAMES.map((name) => tablePath(id, name))),
    ...ids.flatMap((id) => [scorePath(id, 'reduced'), scorePath(id, 'full')]),
    ...audio.map(({ stageId, kind }) => audioPath(stageId, kind)),
  ];
}

/**
 * To be asked once the stages are known, before anything is worked out about them; the common names are asked before. Throws an InputError where a file of somebody
 * else's in the folder has a name that their dossier needs.
 */
export async function checkNamesOfStages(
  named: Named,
  { folder, singleFile }: { readonly folder: string; readonly singleFile: boolean },
  effects: Pick<Effects, 'disk'>,
): Promise<void> {
  const isOurs = (name: string): boolean => !singleFile && isFullScoreFileName(name, named.stages);
  await checkOutputNames(folder, effects, namesOfStages(named, singleFile), isOurs);
}
