/** Which stages a page can play. */
import { packedName } from '../../data/packed-files.ts';
import type { DossierInput } from '../../dossier-input.ts';
import type { PageAudio, PageSketches } from './sheet.ts';

/** Characters of all sketches that every page of a folder may hold, so that one stage can be heard beside another on each. */
const MOST_TOGETHER = 100_000;
/** Characters of a stage that its own pages hold: about 150,000 notes. */
const MOST_ALONE = 1_000_000;
/** Characters of all that a single file holds; beyond that it has the current stage only. */
const MOST_IN_SINGLE_FILE = 400_000;

/** For a page that plays nothing. */
export const NO_SKETCHES: PageSketches = { texts: [], audio: [], isCut: false };

function pageAudio({ audio = [] }: DossierInput, singleFile: boolean): readonly PageAudio[] {
  return audio
    .filter(({ fitsSingleFile }) => fitsSingleFile || !singleFile)
    .map(({ stageId, path, original, delaySeconds }) => ({
      stageId,
      href: singleFile ? packedName(path) : path,
      firstBarSecond: original.firstBarSecond + delaySeconds,
    }));
}

/** Sketches and audio on the page of a stage. A single file holds each once, on the page of its stage. */
export function pageSketches(input: DossierInput, index: number, singleFile: boolean): PageSketches {
  const { stages } = input;
  const audio = pageAudio(input, singleFile);
  const ownAudio = audio.filter(({ stageId }) => stageId === stages[index]?.stage.id);
  const all = stages.flatMap(({ sketch }) => sketch ?? []);
  const size = all.reduce((sum, text) => sum + text.length, 0);
  const own = stages[index]?.sketch;
  if (own === undefined) return NO_SKETCHES;
  const alone = { texts: own.length <= MOST_ALONE ? [own] : [], audio: ownAudio, isCut: all.length > 1 };
  if (!singleFile) return size <= MOST_TOGETHER ? { texts: all, audio, isCut: false } : alone;
  if (size <= MOST_IN_SINGLE_FILE) return { texts: [own], audio: ownAudio, isCut: false };
  return index === stages.length - 1 ? alone : NO_SKETCHES;
}
