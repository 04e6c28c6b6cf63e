/**
 * Hairpins that somebody would draw. A curve rises and falls all the time; a copyist draws what a player is to do: a change that takes two
 * beats at least, that notes can carry, and that is quick enough to be heard. The rest is said by the next mark alone (common practice, no source).
 */
import type { DynamicMark } from '../../model/music/written.ts';
import { DYNAMIC_LEVELS } from '../../model/music/written.ts';
import { firstReaching } from '../../model/sorted-search.ts';
import type { LayerSound } from './dynamic-places.ts';
import { firstFrom } from './dynamic-places.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { barIndexAtDivision, beatAt } from '../score-time/score-time.ts';

type Hairpin = DynamicMark & { readonly kind: 'hairpin' };

const FEWEST_BEATS = 2;
/** Notes struck on the way and at the end, where a note cannot be shaped while it sounds. */
const FEWEST_ONSETS = 3;
const MOST_SILENCE = 0.25;
/** From one mark to the next, nobody hears a change that takes longer. */
const LONGEST_STEP_BARS = 2;

function silenceIn({ start, end }: Hairpin, { stretches }: LayerSound): number {
  let heard = 0;
  for (let index = firstReaching(stretches, ({ to }) => to > start); index < stretches.length; index++) {
    const { from = end, to = end } = stretches[index] ?? {};
    if (from >= end) break;
    heard += Math.min(end, to) - Math.max(start, from);
  }
  return 1 - heard / Math.max(1, end - start);
}

/** The nearest level among the marks from an index on, forwards or backwards. */
function levelFrom(marks: readonly DynamicMark[], from: number, by: 1 | -1): DynamicMark | undefined {
  let index = from;
  while (marks[index]?.kind === 'hairpin') index += by;
  return marks[index];
}

/** Marks from the first to the second level; undefined where either is not printed. */
function stepsBetween(before: DynamicMark | undefined, after: DynamicMark | undefined): number | undefined {
  if (before?.kind !== 'level' || after?.kind !== 'level') return undefined;
  return Math.abs(DYNAMIC_LEVELS.indexOf(after.level) - DYNAMIC_LEVELS.indexOf(before.level));
}

/** The marks of a layer without the hairpins that nobody would draw; `canSwell`: some of its notes are shaped while they sound. */
export function drawnHairpins(
  marks: readonly DynamicMark[],
  sound: LayerSound,
  canSwell: boolean,
  time: ScoreTime,
): DynamicMark[] {
  const isDrawn = (mark: Hairpin, index: number): boolean => {
    const beat = beatAt(time, mark.start);
    const bar = time.bars[barIndexAtDivision(time, mark.start)]?.length ?? 1;
    const lasts = mark.end - mark.start;
    const onsets = firstReaching(sound.onsets, (onset) => onset > mark.end) - firstFrom(sound.onsets, mark.start);
    const steps = stepsBetween(levelFrom(marks, index - 1, -1), levelFrom(marks, index, 1));
    return (
      lasts >= FEWEST_BEATS * beat &&
      (canSwell || onsets >= FEWEST_ONSETS) &&
      silenceIn(mark, sound) <= MOST_SILENCE &&
      (steps === undefined || (steps > 0 && lasts <= steps * LONGEST_STEP_BARS * bar))
    );
  };
  const drawn: DynamicMark[] = [];
  let dropped: Hairpin | undefined;
  for (const [index, mark] of marks.entries()) {
    if (mark.kind === 'level') {
      // Where nothing led to it a mark stands at the bar line, not where a curve happened to arrive.
      const bar = time.bars[barIndexAtDivision(time, mark.start)]?.start ?? mark.start;
      const moves = dropped !== undefined && bar > dropped.start && sound.onsets[firstFrom(sound.onsets, bar)] === bar;
      drawn.push(moves ? { ...mark, start: bar } : mark);
      dropped = undefined;
    } else if (isDrawn(mark, index)) drawn.push(mark);
    else dropped = mark;
  }
  return drawn;
}
