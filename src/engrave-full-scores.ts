/** The full scores of a stage: at concert pitch; of the current stage also as the players read it, where that is not the same. */
import { engraveFullScore } from './draw/engrave/score/engrave-full-score.ts';
import type { Stage } from './model/music/arrangement.ts';
import type { WrittenNotes } from './model/music/written.ts';
import { asShown } from './notate/as-shown.ts';
import { fullScore, hasTransposingParts } from './notate/full-score/full-score.ts';
import type { PublishedFullScore } from './publish/dossier-input.ts';

/** Parts times bars from which on only the current stage has a full score, in one reading: 200 bars of 60 parts. */
const MOST_PART_BARS = 12_000;

/** Empty for a stage of fewer than two parts: its reduced score shows all there is. */
export function engraveFullScores(
  stage: Stage,
  written: WrittenNotes,
  isCurrent: boolean,
): readonly PublishedFullScore[] {
  const { parts, timeline } = stage;
  const long = parts.length * timeline.bars.length > MOST_PART_BARS;
  if (parts.length < 2 || timeline.bars.length === 0 || (long && !isCurrent)) return [];
  // Players are handed the current stage; an earlier one is looked up to see what it was, and its parts stand in its MusicXML.
  const forPlayers = isCurrent && !long && hasTransposingParts(stage);
  const readings = forPlayers ? (['concert', 'written'] as const) : (['concert'] as const);
  return readings.map((reading) => ({
    reading,
    pages: engraveFullScore(asShown(fullScore(stage, written, reading), written, timeline.bars), {
      title: stage.title,
      // What is read on a telephone is the current stage.
      narrow: isCurrent,
    }),
  }));
}
