/** Who has the very notes of the foreground: what plays the same pitches does not mask them, it doubles them (colla parte: common practice, no source). */
import type { Timeline } from '../../model/music/timeline.ts';
import type { Doubling } from '../../model/readings/readings.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';
import { startingWithin } from '../../model/sorted-search.ts';

/** So many different pitches make a line: two who meet on a tone, or repeat one, are two still. Our convention. */
const FEWEST_PITCHES = 3;

/** By bar index the ids of the parts in front, and of those that are in unison with one of them there. */
export function withUnisons(
  front: readonly ReadonlySet<string>[],
  doublings: readonly Doubling[],
  placed: readonly PlacedPart[],
  { bars }: Timeline,
): readonly ReadonlySet<string>[] {
  const first = bars[0]?.number ?? 1;
  const wide = front.map((ids) => new Set(ids));
  const notesOf = new Map(placed.map(({ part, notes }) => [part.id, notes]));
  for (const { interval, partIds, from, to } of doublings) {
    if (interval !== 'unison') continue;
    const [start, end] = [bars[from - first]?.startQuarters ?? 0, bars[to - first + 1]?.startQuarters ?? Infinity];
    const played = startingWithin(notesOf.get(partIds[0]) ?? [], start - 1e-6, end - 1e-6);
    if (new Set(played.map(({ midi }) => midi)).size < FEWEST_PITCHES) continue;
    for (let index = from - first; index <= to - first; index++)
      if (partIds.some((id) => front[index]?.has(id) === true)) for (const id of partIds) wide[index]?.add(id);
  }
  return wide;
}
