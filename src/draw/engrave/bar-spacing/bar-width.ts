/**
 * How wide a bar is: what does not stretch (its head, the lead to the first note, small clefs at its end) and the springs between its columns at the
 * force on its line (`springs`; `columns` has what each needs, `line-breaks/justify-line` finds the force).
 */
import type { ScoreBar } from '../../../model/music/written.ts';
import { changeHead, clefChangeWidth, clefChanges, lineHead } from './heads.ts';
import type { PreparedBar } from './prepare-bar.ts';
import { widthAt } from './springs.ts';

/** A little more room after the signs at the head of a line, where ties arrive. */
export const LINE_LEAD_PX = 6;

interface BarToSet {
  readonly prepared: PreparedBar;
  /** The bars it stands for: one, or all of a rest of several bars. */
  readonly bars: readonly ScoreBar[];
}

/** Room before the first note, in pixels: signs that change, or all at the head of a line, and the lead to the note. */
export function widthBeforeNotes({ bar, leadPx }: PreparedBar, firstInLine: boolean): number {
  const head = firstInLine ? lineHead(bar) : changeHead(bar);
  return head.widthPx + (firstInLine ? LINE_LEAD_PX : 0) + leadPx;
}

/** Room after the notes of a bar, in pixels: small clefs that the next one begins with. */
export function widthAfterNotes({ prepared, bars }: BarToSet, next: ScoreBar | undefined): number {
  return clefChangeWidth(clefChanges(bars.at(-1) ?? prepared.bar, next));
}

/** Room of a bar that does not stretch, in pixels; `next` is the bar that follows it. */
export function rigidWidth(set: BarToSet, next: ScoreBar | undefined, firstInLine: boolean): number {
  return widthBeforeNotes(set.prepared, firstInLine) + widthAfterNotes(set, next);
}

/** Width of a bar within a line on whose springs `force` is, in pixels. */
export function barWidth(set: BarToSet, next: ScoreBar | undefined, force: number): number {
  return rigidWidth(set, next, false) + widthAt(set.prepared.gaps, force);
}

/** Room after the last bar line for the changes that the next line begins with, in pixels. */
export function courtesyWidth(next: ScoreBar | undefined): number {
  const width = next === undefined ? 0 : changeHead(next).widthPx;
  return width === 0 ? 0 : width + 4;
}
