/** Notes of the earlier stage at their places in the later one, those of the later one themselves wherever nothing differs. */
import type { Bar } from '../../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { isSetUpAlike, shapedAlike } from './balance-edits.ts';
import { notesAmong, placedAt, type BarNote, type BarPart } from '../bars/bar-notes.ts';
import { isSameNote } from '../matches/match-notes.ts';
import { onceEach } from '../once-each.ts';

/** Place of the first note of each bar, by index, of notes in the order of their bars; one more marks the end. */
const firstsOf = onceEach((notes: readonly BarNote[]): Int32Array => {
  const barCount = (notes.at(-1)?.bar ?? -1) + 1;
  const firsts = new Int32Array(barCount + 1);
  for (const { bar } of notes) firsts[bar + 1] = (firsts[bar + 1] ?? 0) + 1;
  for (let bar = 1; bar <= barCount; bar++) firsts[bar] = (firsts[bar] ?? 0) + (firsts[bar - 1] ?? 0);
  return firsts;
});

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
  const { notes } = item;
  const models = later.notes;
  const firsts = firstsOf(models);
  const isShapedAlike = shapedAlike();
  const placed: BarNote[] = [];
  let [isSame, isLater] = [true, true];
  for (let from = 0; from < notes.length;) {
    const own = notes[from]?.bar ?? 0;
    let end = from + 1;
    while (notes[end]?.bar === own) end++;
    const bar = barOf(own);
    const place = bars[bar];
    if (place === undefined) isSame = false;
    else {
      const first = firsts[bar] ?? models.length;
      let isAlike = (firsts[bar + 1] ?? models.length) - first === end - from;
      for (let at = from; isAlike && at < end; at++) {
        const [one, other] = [notes[at], models[first + at - from]];
        isAlike = one !== undefined && other !== undefined && isSameNote(one, other) && isShapedAlike(one, other);
      }
      for (let at = from; at < end; at++) {
        const note = notes[at];
        const model = isAlike ? models[first + at - from] : undefined;
        if (note === undefined) continue;
        const start = place.startQuarters * DIVISIONS_PER_QUARTER + note.onset;
        const stays = bar === note.bar && start === note.start;
        if (!stays) isSame = false;
        const taken = model ?? (stays ? note : placedAt(note, bar, start));
        if (laterNotes[placed.length] !== taken) isLater = false;
        placed.push(taken);
      }
    }
    from = end;
  }
  if (isLater && placed.length === laterNotes.length) return laterNotes;
  return isSame && placed.every((note, at) => note === notes[at]) ? notes : placed;
}
