/** What is made of one stage once it is notated: it is judged, its scores are engraved and written. Pure, in whatever thread. */
import { adviseStage } from './advise/advise-stage.ts';
import { analyseStage } from './analyse/analyse-stage.ts';
import { sketchOf } from './analyse/played-sketch/sketch-of.ts';
import { drawPictures } from './draw-pictures.ts';
import { engraveScore } from './draw/engrave/score/engrave-score.ts';
import { engraveFullScores } from './engrave-full-scores.ts';
import type { Arrangement, Stage } from './model/music/arrangement.ts';
import { asShown } from './notate/as-shown.ts';
import { proposeTempo } from './notate/free-time/tempo-proposal.ts';
import type { KnownStaves } from './notate/full-score/full-score.ts';
import { notateStage } from './notate/notate-stage.ts';
import { stageTexts } from './publish/data/stage-texts.ts';
import type { PublishedProposal, PublishedStage, StageTexts } from './publish/dossier-input.ts';
import type { ScoreCredits } from './publish/musicxml/xml/score-xml.ts';
import { packSketch } from './sound/sketch-text.ts';

/** Width of an engraved system in CSS pixels: the text width of the page, and of A4 at 96 dpi when scaled by two thirds. */
const SYSTEM_WIDTH_PX = 1200;

/** Width for a telephone held upright: 350 px of text show it at two thirds, a staff of 27 px. */
const NARROW_WIDTH_PX = 520;

const ENGRAVED = { widthPx: SYSTEM_WIDTH_PX, narrowPx: NARROW_WIDTH_PX } as const;

export type NotatedStage = Pick<PublishedStage, 'stage' | 'written'>;

export type JudgedStage = Pick<PublishedStage, 'stage' | 'written' | 'readings' | 'findings'>;

/** All that is drawn of one but its charts. */
export type Engravings = Omit<PublishedStage, keyof JudgedStage | 'charts'>;

/** All that the judgement of a stage takes from the arrangement. */
export type Judging = Pick<Arrangement, 'limits' | 'accepted'>;

/** Analyses and judges one stage. */
export function judgeStage({ stage, written }: NotatedStage, { limits, accepted }: Judging): JudgedStage {
  const readings = analyseStage(stage, written);
  return { stage, written, readings, findings: adviseStage({ stage, written, readings, limits, accepted }) };
}

/** Bars and tempos for a stage that was played without a click, and the reduced score that they would give. */
function proposalFor(stage: Stage): PublishedProposal | undefined {
  const proposal = proposeTempo(stage);
  if (proposal === undefined) return undefined;
  const written = notateStage(proposal.stage);
  const shown = asShown(written.reduced, written, proposal.stage.timeline.bars);
  return { ...proposal, score: engraveScore(shown, { ...ENGRAVED, title: stage.title }) };
}

/** Engraves the scores of one judged stage. `isCurrent`: it is the last one of the arrangement. */
export function engraveStage(judged: JudgedStage, isCurrent: boolean): Engravings {
  const { stage, written } = judged;
  const known: KnownStaves = new Map();
  const sketch = sketchOf(stage, written, judged.readings);
  const proposal = isCurrent && !written.onGrid ? proposalFor(stage) : undefined;
  return {
    ...(proposal === undefined ? {} : { proposal }),
    ...(sketch.lines.length > 0 ? { sketch: packSketch(sketch) } : {}),
    score: engraveScore(asShown(written.reduced, written, stage.timeline.bars), {
      ...ENGRAVED,
      title: stage.title,
    }),
    fullScores: engraveFullScores(stage, written, isCurrent, known),
    pictures: drawPictures(judged, isCurrent, known),
  };
}

/** A notated stage as another thread is given it, with all that it needs to know of the arrangement. */
export interface StageOrder extends NotatedStage {
  readonly isCurrent: boolean;
  readonly judging: Judging;
  readonly credits: ScoreCredits;
}

/** What another thread makes of it, each for itself. */
export interface StageResults {
  readonly judged: JudgedStage;
  readonly engravings: Engravings;
  readonly texts: StageTexts;
}

/** Work under way beside this thread; each gives undefined where that cannot be, and it is done here. */
export type StageWork = { readonly [Kind in keyof StageResults]: Promise<StageResults[Kind] | undefined> };

/** Makes another thread ready; what it gives has stages worked on there. */
export type WorkBeside = () => (order: StageOrder) => StageWork;

/** All the work on a stage, handed over piece by piece, but for the texts, which are waited for last: they are made when that is called for. */
export function workOnStage(
  { isCurrent, judging, credits, ...notated }: StageOrder,
  handOver: (made: Partial<StageResults>) => void,
): () => void {
  const judged = judgeStage(notated, judging);
  handOver({ judged });
  const engravings = engraveStage(judged, isCurrent);
  handOver({ engravings });
  return () => {
    handOver({ texts: stageTexts({ ...judged, ...engravings }, credits) });
  };
}
