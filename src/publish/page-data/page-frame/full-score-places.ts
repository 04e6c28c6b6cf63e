/** Where a bar stands in the pages of the full scores. */
import type { PlaceMark } from '../../../draw/finding-marks/place-mark.ts';
import type { EngravedScore } from '../../../model/drawing.ts';
import type { PublishedFullScore } from '../../dossier-input.ts';
import { type StageContext } from './stage-context.ts';

export type Reading = PublishedFullScore['reading'];

export function fileName({ published, isCurrent }: StageContext, reading: Reading, page: number): string {
  const stage = isCurrent ? '' : `${published.stage.id}-`;
  return `${stage}full-score-${reading}${page === 0 ? '' : `-${String(page + 1)}`}.html`;
}

/** Characters of the full scores of earlier stages that one file may hold, so that it stays small enough to be sent. */
const MOST_IN_SINGLE_FILE = 400_000;

function characters(scores: readonly EngravedScore[]): number {
  return scores.reduce((sum, { systems }) => sum + systems.reduce((size, { svg }) => size + svg.length, 0), 0);
}

/** A single file holds the full scores of the current stage, and those of an earlier one, at concert pitch, where they are short. */
export function shownScores(context: StageContext): readonly PublishedFullScore[] {
  const { fullScores } = context.published;
  if (!context.singleFile || context.isCurrent) return fullScores;
  const firstOf = (stage: StageContext['published']): readonly PublishedFullScore[] => stage.fullScores.slice(0, 1);
  const earlier = context.stages.slice(0, -1).flatMap((stage) => firstOf(stage).flatMap(({ pages }) => pages));
  return characters(earlier) <= MOST_IN_SINGLE_FILE ? firstOf(context.published) : [];
}

/** Index of the page that shows a bar; -1 where none does. */
export function pageOfBar({ pages }: PublishedFullScore, bar: number): number {
  return pages.findIndex(({ systems }) => systems.some(({ fromBar, toBar }) => fromBar <= bar && bar <= toBar));
}

/** Address of the bar where a mark begins in the first full score; '' where there is none. */
export function fullScorePlace(context: StageContext, { key, from }: Pick<PlaceMark, 'key' | 'from'>): string {
  const [score] = shownScores(context);
  const page = score === undefined ? -1 : pageOfBar(score, from);
  return score === undefined || page < 0 ? '' : `${fileName(context, score.reading, page)}#score-${key}`;
}
