/** New bars that are others once more, note for note. */
import type { BarRun } from '../../../model/readings/readings.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import type { BarPart } from './bar-parts.ts';

/** What all parts begin in each bar, by sixteenths: an export may set the same notes a little otherwise. */
function soundsOf(parts: readonly BarPart[]): ReadonlyMap<number, string> {
  const sounds = new Map<number, string[]>();
  for (const [part, item] of parts.entries()) {
    for (const { bar, onset, midi } of item.notes()) {
      const sound = `${String(part)}:${String(Math.round((4 * onset) / DIVISIONS_PER_QUARTER))}:${String(midi)}`;
      const known = sounds.get(bar);
      if (known === undefined) sounds.set(bar, [sound]);
      else known.push(sound);
    }
  }
  return new Map([...sounds].map(([bar, own]) => [bar, own.sort().join(' ')]));
}

/**
 * Runs of new bars that have in every part the notes of as many bars directly before them. By numbers of the later stage: `after` is
 * `before` once more. `beforeOf`: the bar of the earlier stage that each is, by index; -1 for a new one.
 */
export function repeatedBars(
  parts: readonly BarPart[],
  bars: readonly Bar[],
  beforeOf: readonly number[],
): readonly BarRun[] {
  const runs: BarRun[] = [];
  let sounds: ReadonlyMap<number, string> | undefined;
  for (let from = 0; from < beforeOf.length; from++) {
    if ((beforeOf[from] ?? 0) >= 0) continue;
    let end = from;
    while (end < beforeOf.length && (beforeOf[end] ?? 0) < 0) end++;
    const count = end - from;
    const [one, other] = [bars[from - count]?.number, bars[from]?.number];
    if (from >= count && one !== undefined && other !== undefined) {
      const known = (sounds ??= soundsOf(parts));
      const steps = Array.from({ length: count }, (_, step) => step);
      const isAgain = steps.every((step) => known.get(from + step) === known.get(from - count + step));
      if (isAgain && steps.some((step) => known.has(from + step))) runs.push({ before: one, after: other, count });
    }
    from = end;
  }
  return runs;
}
