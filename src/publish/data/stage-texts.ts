/** The long texts of a stage, where they are made before anything is written: in another thread, while pages are made. */
import type { StageTexts, UnchartedStage } from '../dossier-input.ts';
import { scoreFiles } from '../musicxml/score-files.ts';
import type { ScoreCredits } from '../musicxml/xml/score-xml.ts';
import { DOSSIER_JSON, stageText } from './dossier-json.ts';

export function stageTexts(stage: UnchartedStage, credits: ScoreCredits): StageTexts {
  return new Map([
    [DOSSIER_JSON, stageText(stage)],
    ...scoreFiles(credits, stage).map(({ path, content }) => [path, content()] as const),
  ]);
}
