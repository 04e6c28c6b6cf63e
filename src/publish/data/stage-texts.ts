/** The long texts of a stage, where they are made before anything is written: in another thread, while pages are made. */
import type { ExportedStage, StageTexts } from '../dossier-input.ts';
import { fullScoreFiles, scoreFiles } from '../musicxml/score-files.ts';
import type { ScoreCredits } from '../musicxml/xml/score-xml.ts';
import { DOSSIER_JSON, stageText } from './dossier-json.ts';

type Files = ReturnType<typeof scoreFiles>;

function textsOf(files: Files): StageTexts {
  return new Map(files.map(({ path, content }) => [path, content()]));
}

/** Those that need neither a judgement nor a short score. */
export function fullScoreTexts(stage: Parameters<typeof fullScoreFiles>[1], credits: ScoreCredits): StageTexts {
  return textsOf(fullScoreFiles(credits, stage));
}

/** Those that need no judgement. */
export function scoreTexts(stage: Pick<ExportedStage, 'stage' | 'written'>, credits: ScoreCredits): StageTexts {
  return textsOf(scoreFiles(credits, stage));
}

export function stageTexts(stage: ExportedStage, credits: ScoreCredits): StageTexts {
  return new Map([[DOSSIER_JSON, stageText(stage)], ...scoreTexts(stage, credits)]);
}
