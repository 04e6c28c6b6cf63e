/** Scores of a stage as MusicXML 4.0 (W3C Music Notation Community Group), score-partwise. */
import type { Stage } from '../../model/music/arrangement.ts';
import type { WrittenNotes, WrittenStage } from '../../model/music/written.ts';
import { fullLayout } from './layout/full-layout.ts';
import { reducedLayout } from './layout/reduced-layout.ts';
import type { ScoreCredits } from './xml/score-xml.ts';
import { scoreText } from './xml/score-xml.ts';

interface ScoreInput<Written extends WrittenNotes> {
  readonly arrangement: ScoreCredits;
  readonly stage: Stage;
  readonly written: Written;
}

/** The reduced score at sounding pitch, with chord symbols, entries and exits; '' where the stage has no bars or staves. */
export function reducedScoreXml({ arrangement, stage, written }: ScoreInput<WrittenStage>): string {
  return scoreText(arrangement, stage, reducedLayout(stage, written));
}

/** The full score, transposing instruments as written for their players; '' where the stage has no bars or parts. */
export function fullScoreXml({ arrangement, stage, written }: ScoreInput<WrittenNotes>): string {
  return scoreText(arrangement, stage, fullLayout(stage, written));
}
