/** The pictures of a stage's findings, from the full score of the parts that they name. */
import { findingPictures } from './draw/finding/finding-pictures.ts';
import type { Stage } from './model/music/arrangement.ts';
import type { FindingPicture } from './model/drawing.ts';
import type { Finding, StageReadings } from './model/readings/readings.ts';
import type { WrittenNotes } from './model/music/written.ts';
import { asShown } from './notate/as-shown.ts';
import { fullScore } from './notate/full-score/full-score.ts';

/** An earlier stage with more findings than this has no pictures: they would double its page for what is past. */
const MOST_OF_EARLIER = 30;

export interface Pictured {
  readonly stage: Stage;
  readonly written: WrittenNotes;
  readonly readings: StageReadings;
  readonly findings: readonly Finding[];
}

/** Pictures of the findings, accepted ones too. */
export function drawPictures(judged: Pictured, isCurrent: boolean): readonly FindingPicture[] {
  const { stage, written, findings } = judged;
  if (findings.length === 0 || (!isCurrent && findings.length > MOST_OF_EARLIER)) return [];
  const needed = new Set([
    ...findings.flatMap(({ partIds, notes = [] }) => [...partIds, ...notes.map(({ partId }) => partId)]),
    ...stage.foreground.map(({ partId }) => partId),
  ]);
  const parts = stage.parts.filter(({ id }) => needed.has(id));
  const score = asShown(fullScore({ ...stage, parts }, written, 'concert'), written, stage.timeline.bars);
  // The id of a staff is that of its part and its number.
  const staffPartIds = score.staves.map(({ id }) => id.replace(/-\d+$/, ''));
  return findingPictures({ ...judged, score, staffPartIds });
}
