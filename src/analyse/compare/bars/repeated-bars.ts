/** New bars that are others once more, note for note. */
import type { BarRun } from '../../../model/readings/readings.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import { runsOf } from '../../../model/words/plain-words.ts';
import type { BarNote } from './bar-notes.ts';
import type { BarPart } from './bar-parts.ts';

/** What begins in a bar, by sixteenths: an export may set the same notes a little otherwise. */
function soundsOf(notes: readonly BarNote[]): string {
  return notes
    .map(({ onset, midi }) => `${String(Math.round((4 * onset) / DIVISIONS_PER_QUARTER))}:${String(midi)}`)
    .sort()
    .join(' ');
}

/** True where a part begins the same notes in two bars, by index. */
function isAlike(part: BarPart, one: number, other: number): boolean {
  const { counts, in: notesIn } = part.byBar();
  return (counts[one] ?? 0) === (counts[other] ?? 0) && soundsOf(notesIn(one)) === soundsOf(notesIn(other));
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
  const fresh = beforeOf.flatMap((bar, index) => (bar < 0 ? [index] : []));
  return runsOf(fresh).flatMap(({ from, to }): readonly BarRun[] => {
    const count = to - from + 1;
    const [one, other] = [bars[from - count]?.number, bars[from]?.number];
    if (from < count || one === undefined || other === undefined) return [];
    const steps = Array.from({ length: count }, (_, step) => from + step);
    const isAgain = steps.every((bar) => parts.every((part) => isAlike(part, bar, bar - count)));
    const isHeard = steps.some((bar) => parts.some((part) => (part.byBar().counts[bar] ?? 0) > 0));
    return isAgain && isHeard ? [{ before: one, after: other, count }] : [];
  });
}
