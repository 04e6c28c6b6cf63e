/** Register of every pitched part, bar by bar. */
import { groupedBy } from '../../model/grouped.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import { onceEach } from '../../model/once-each.ts';
import type { RegisterReading } from '../../model/readings/readings.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';

interface BarSums {
  low: number;
  high: number;
  weighted: number;
  quarters: number;
}

function registerOfPart({ part, notes }: PlacedPart, { bars }: Timeline): RegisterReading[] {
  const sums = new Map<number, BarSums>();
  for (const note of notes) {
    for (let index = barIndexAt(bars, note.startQuarters); index >= 0 && index < bars.length; index++) {
      const bar = bars[index];
      if (bar === undefined || bar.startQuarters >= note.endQuarters - 1e-6) break;
      const from = Math.max(bar.startQuarters, note.startQuarters);
      const quarters = Math.min(bar.startQuarters + bar.lengthQuarters, note.endQuarters) - from;
      if (quarters <= 0) continue;
      const sum = sums.get(index) ?? { low: note.midi, high: note.midi, weighted: 0, quarters: 0 };
      sum.low = Math.min(sum.low, note.midi);
      sum.high = Math.max(sum.high, note.midi);
      sum.weighted += note.midi * quarters;
      sum.quarters += quarters;
      sums.set(index, sum);
    }
  }
  return [...sums]
    .sort(([a], [b]) => a - b)
    .map(([index, { low, high, weighted, quarters }]) => ({
      partId: part.id,
      bar: bars[index]?.number ?? 0,
      low,
      high,
      centre: weighted / quarters,
    }));
}

const byPartAndBar = onceEach((register: readonly RegisterReading[]) => {
  const parts = groupedBy(register, ({ partId }) => partId);
  return new Map([...parts].map(([id, own]) => [id, new Map(own.map((reading) => [reading.bar, reading]))]));
});

/** The reading of a part in a bar, by number; undefined where it is silent or has no pitch. */
export function registerIn(
  register: readonly RegisterReading[],
  partId: string,
  bar: number,
): RegisterReading | undefined {
  return byPartAndBar(register).get(partId)?.get(bar);
}

/** Lowest, highest and duration-weighted mean sounding pitch of each pitched part in each bar where it sounds. */
export function registerOf(placed: readonly PlacedPart[], timeline: Timeline): readonly RegisterReading[] {
  return placed.filter(({ part }) => !part.unpitched).flatMap((part) => registerOfPart(part, timeline));
}
