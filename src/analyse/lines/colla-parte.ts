/** Who has the very notes of the foreground: what plays the same pitches does not mask them, it doubles them (colla parte: common practice, no source). */
import type { Timeline } from '../../model/music/timeline.ts';
import type { Doubling } from '../../model/readings/readings.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';
import { notesByBar } from '../placed-notes/placed-notes.ts';

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
  for (const { interval, partIds, from, to } of doublings) {
    if (interval !== 'unison') continue;
    const part = placed.find(({ part: { id } }) => id === partIds[0]);
    const played = notesByBar(part?.notes ?? [], bars).slice(from - first, to - first + 1);
    if (new Set(played.flat().map(({ midi }) => midi)).size < FEWEST_PITCHES) continue;
    for (let index = from - first; index <= to - first; index++)
      if (partIds.some((id) => front[index]?.has(id) === true)) for (const id of partIds) wide[index]?.add(id);
  }
  return wide;
}
