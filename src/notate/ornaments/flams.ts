/** Flams: two strokes on one drum so close that the first is a small note of the second. A hi-hat just before a snare is a stroke of its own. */
import { groupedBy } from '../../model/grouped.ts';
import type { Part } from '../../model/music/arrangement.ts';

/** Time between the strokes of a flam; faster than anyone counts (common practice, no source). */
const SHORTEST_LEAD_MS = 12;
const LONGEST_LEAD_MS = 60;
/** Other strokes on the drum are at least so many leads away; else it is a roll. */
const STANDS_FREE = 2.5;

/** The main stroke of each small stroke of an unpitched part, by indices into its notes; `notes` in the order played. */
export function findFlams(part: Part, notes: readonly number[]): Map<number, number> {
  const found = new Map<number, number>();
  const secondOf = (index: number | undefined): number | undefined => part.notes[index ?? -1]?.startSecond;
  for (const strokes of groupedBy(notes, (index) => part.notes[index]?.midi).values()) {
    for (let place = 0; place + 1 < strokes.length; place++) {
      const [first = 0, main = 0] = [strokes[place], strokes[place + 1]];
      const [from = 0, to = 0] = [secondOf(first), secondOf(main)];
      const leadMs = (to - from) * 1000;
      if (leadMs < SHORTEST_LEAD_MS || leadMs > LONGEST_LEAD_MS) continue;
      const before = (from - (secondOf(strokes[place - 1]) ?? -Infinity)) * 1000;
      const after = ((secondOf(strokes[place + 2]) ?? Infinity) - to) * 1000;
      if (Math.min(before, after) < STANDS_FREE * leadMs) continue;
      found.set(first, main);
      place++;
    }
  }
  return found;
}
