/** A score as it is engraved: with its swing said, or in free time where the playing keeps to no beat. */
import type { ReducedScore, WrittenNotes } from '../model/music/written.ts';
import { withSwing } from './swing/swing-mark.ts';
import { shownInTime } from './free-time/unmeasured.ts';

/** The score as it is shown; `bars` are those of the stage's timeline, parallel to those of the score. */
export function asShown(
  score: ReducedScore,
  written: Pick<WrittenNotes, 'onGrid' | 'swing'>,
  bars: readonly { readonly lengthSeconds: number }[],
): ReducedScore {
  return shownInTime(withSwing(score, written.swing), written, bars);
}
