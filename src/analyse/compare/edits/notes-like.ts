/** Notes of the earlier stage at their places in the later one, those of the later one themselves wherever nothing differs. */
import type { Bar } from '../../../model/music/timeline.ts';
import { isSetUpAlike, shapedAlike } from './balance-edits.ts';
import { notesAmong, notesByBar, placedIn, type BarNote, type BarPart } from '../bars/bar-notes.ts';
import { isSameNote } from '../matches/match-notes.ts';

function isSameList(some: readonly BarNote[], others: readonly BarNote[]): boolean {
  return some.length === others.length && some.every((note, at) => note === others[at]);
}

/**
 * The notes of a part at their places among the bars of the later stage. Bars of `later`, the part of the same id, that hold the same
 * notes, played and set the same, are taken from there: no comparison has to look at them again. `laterNotes`: its notes in
 * bars that both stages have; the very list comes back where nothing differs.
 */
export function notesLike(
  item: BarPart,
  later: BarPart | undefined,
  laterNotes: readonly BarNote[] | undefined,
  bars: readonly Bar[],
  barOf: (bar: number) => number,
): readonly BarNote[] {
  if (later === undefined || laterNotes === undefined || !isSetUpAlike(item.part, later.part))
    return notesAmong(item, bars, barOf);
  const [own, models] = [notesByBar(item.notes), notesByBar(later.notes)];
  const isShapedAlike = shapedAlike();
  const isAlike = (one: BarNote, other: BarNote | undefined): boolean =>
    other !== undefined && isSameNote(one, other) && isShapedAlike(one, other);
  const placed: BarNote[] = [];
  for (const ownBar of own.bars) {
    const bar = barOf(ownBar);
    const place = bars[bar];
    if (place === undefined) continue;
    const notes = own.in(ownBar);
    const others = models.in(bar);
    if (notes.length === others.length && notes.every((note, at) => isAlike(note, others[at])))
      for (const note of others) placed.push(note);
    else for (const note of notes) placed.push(placedIn(note, bar, place));
  }
  if (isSameList(placed, laterNotes)) return laterNotes;
  return isSameList(placed, item.notes) ? item.notes : placed;
}
