/** The order of the bars in two stages, told by their numbers. */
import type { BarRun, StageChange } from '../../../model/readings/readings.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import type { BarAlignment } from './align-bars.ts';

/** Runs of bars that follow one another in both stages. */
function keptRuns(
  alignment: BarAlignment,
  barsBefore: readonly Bar[],
  barsAfter: readonly Bar[],
  beginsBar: (index: number) => boolean,
): readonly BarRun[] {
  const movedTo = new Set(
    alignment.moved.flatMap((run) => Array.from({ length: run.count }, (_, bar) => run.after + bar)),
  );
  const runs: { before: number; after: number; count: number }[] = [];
  let last = -2;
  barsAfter.forEach((bar, index) => {
    const earlier = alignment.beforeOf[index] ?? -1;
    const run = runs.at(-1);
    const number = barsBefore[earlier]?.number ?? 0;
    if (earlier < 0 || movedTo.has(index) || !beginsBar(earlier)) last = -2;
    else if (run !== undefined && earlier === last + 1 && number === run.before + run.count) {
      run.count++;
      last = earlier;
    } else {
      runs.push({ before: number, after: bar.number, count: 1 });
      last = earlier;
    }
  });
  return runs;
}

/** Numbers of the bars, from one place to another, that are not in the other stage. */
function numbersAlone(bars: readonly Bar[], otherOf: readonly number[], from: number, to: number): readonly number[] {
  const numbers: number[] = [];
  for (let index = Math.max(0, from); index < to; index++) {
    const bar = bars[index];
    if (bar !== undefined && (otherOf[index] ?? -1) < 0) numbers.push(bar.number);
  }
  return numbers;
}

/**
 * Which bars came, went, moved and stayed, by number. `beginsBar`: false for a bar of the earlier stage, by index, that is the rest of
 * one that was parted.
 */
export function barOrderOf(
  alignment: BarAlignment,
  barsBefore: readonly Bar[],
  barsAfter: readonly Bar[],
  beginsBar: (index: number) => boolean = () => true,
): StageChange['barOrder'] {
  const lastKept = alignment.beforeOf.findLastIndex((bar) => bar >= 0);
  return {
    inserted: numbersAlone(barsAfter, alignment.beforeOf, 0, lastKept),
    appended: numbersAlone(barsAfter, alignment.beforeOf, lastKept + 1, barsAfter.length),
    cut: [...new Set(numbersAlone(barsBefore, alignment.afterOf, 0, barsBefore.length))],
    moved: alignment.moved.map(({ before, after, count }) => ({
      before: barsBefore[before]?.number ?? 0,
      after: barsAfter[after]?.number ?? 0,
      count,
    })),
    kept: keptRuns(alignment, barsBefore, barsAfter, beginsBar),
  };
}
