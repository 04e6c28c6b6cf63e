/** The long texts of a stage, where they are made before anything is written: in another thread, while pages are made. */
import type { ExportedStage, StageTexts } from '../dossier-input.ts';
import { scoreFiles } from '../musicxml/score-files.ts';
import type { ScoreCredits } from '../musicxml/xml/score-xml.ts';
import { DOSSIER_JSON, stageText } from './dossier-json.ts';

/** Those that need no judgement. */
export function scoreTexts(stage: Pick<ExportedStage, 'stage' | 'written'>, credits: ScoreCredits): StageTexts {
  return new Map(scoreFiles(credits, stage).map(({ path, content }) => [path, content()]));
}

export function stageTexts(stage: ExportedStage, credits: ScoreCredits): StageTexts {
  return new Map([[DOSSIER_JSON, stageText(stage)], ...scoreTexts(stage, credits)]);
}
