/** Notes of the earlier stage at their places in the later one, those of the later one themselves wherever nothing differs. */
import type { Bar } from '../../../model/music/timeline.ts';
import { hasCurves, isSetUpAlike, shapedAlike } from './balance-edits.ts';
import { notesAmong, placedIn, type BarNote, type BarPart } from '../bars/bar-notes.ts';
import { areAlike, columnsOf } from '../bars/note-columns.ts';

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
  const [own, models] = [columnsOf(item.notes), columnsOf(later.notes)];
  const isShapedAlike = hasCurves(item.part) || hasCurves(later.part) ? shapedAlike() : undefined;
  const areSame = (from: number, fromLater: number, count: number): boolean => {
    if (item.notes === later.notes && from === fromLater) return true;
    if (!areAlike(own, from, models, fromLater, count)) return false;
    for (let at = 0; at < count && isShapedAlike !== undefined; at++) {
      const one = item.notes[from + at];
      const other = later.notes[fromLater + at];
      if (one === undefined || other === undefined || !isShapedAlike(one, other)) return false;
    }
    return true;
  };
  // Made in full length: it would be copied again and again while it grows.
  const placed = new Array<BarNote>(item.notes.length);
  let count = 0;
  for (let ownBar = 0; ownBar + 1 < own.starts.length; ownBar++) {
    const from = own.starts[ownBar] ?? 0;
    const end = own.starts[ownBar + 1] ?? 0;
    if (from === end) continue;
    const bar = barOf(ownBar);
    const place = bars[bar];
    if (place === undefined) continue;
    const fromLater = models.starts[bar] ?? 0;
    const endLater = models.starts[bar + 1] ?? fromLater;
    const isSame = end - from === endLater - fromLater && areSame(from, fromLater, end - from);
    for (let at = from; at < end; at++) {
      const note = isSame ? later.notes[at - from + fromLater] : item.notes[at];
      if (note !== undefined) placed[count++] = isSame ? note : placedIn(note, bar, place);
    }
  }
  placed.length = count;
  if (isSameList(placed, laterNotes)) return laterNotes;
  return isSameList(placed, item.notes) ? item.notes : placed;
}
