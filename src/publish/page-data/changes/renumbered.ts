/** Which bars have other numbers since bars before them were put in, cut, moved or barred otherwise. */
import type { Stage } from '../../../model/music/arrangement.ts';
import { barSpanText, counted, listText, sentenceStart } from '../../../model/words/plain-words.ts';
import type { BarRun, StageChange } from '../../../model/readings/readings.ts';

/** Most runs of bars whose new numbers are told one by one. */
const MOST_RUNS = 3;

/** Runs of bars that stand in both stages under different numbers, each as long as can be; what was moved is not among them. */
function renumberedRuns({ barOrder, rebarred }: StageChange): readonly BarRun[] {
  const runs: BarRun[] = [];
  // What is barred otherwise is told apart, with its numbers.
  const kept = barOrder.kept
    .flatMap(({ before, after, count }) =>
      Array.from({ length: count }, (_, place): BarRun => ({ before: before + place, after: after + place, count: 1 })),
    )
    .filter(({ before }) => !rebarred.some(({ fromBefore, toBefore }) => before >= fromBefore && before <= toBefore));
  for (const run of kept.sort((a, b) => a.before - b.before)) {
    const last = runs.at(-1);
    const isNext =
      last !== undefined &&
      last.before + last.count === run.before &&
      last.after - last.before === run.after - run.before;
    if (isNext) runs[runs.length - 1] = { ...last, count: last.count + run.count };
    else runs.push(run);
  }
  return runs.filter(({ before, after }) => before !== after);
}

function byText({ before, after }: BarRun): string {
  return `${counted(Math.abs(after - before), 'bar')} ${after > before ? 'later' : 'earlier'}`;
}

/** `what followed stands 2 bars earlier`, `what was bars 9–16 stands 8 bars later`; undefined where no bar or not one run of bars has other numbers. */
export function renumberedClause(change: StageChange, before: Stage): string | undefined {
  const [run, another] = renumberedRuns(change);
  if (run === undefined || another !== undefined) return undefined;
  const end = run.before + run.count - 1;
  const isAllThatFollows = change.barOrder.moved.length === 0 && end === before.timeline.bars.at(-1)?.number;
  return `what ${isAllThatFollows ? 'followed' : `was ${barSpanText(run.before, end)}`} stands ${byText(run)}`;
}

/** `What was bars 17–24 is bars 21–28 now.`; undefined where all that stands in both stages has its number still. */
export function renumberedSentence(change: StageChange): string | undefined {
  const runs = renumberedRuns(change);
  if (runs.length === 0) return undefined;
  if (runs.length > MOST_RUNS) {
    const [first] = runs;
    return `From what was bar ${String(first?.before)} on, ${counted(runs.length, 'run')} of bars have other numbers.`;
  }
  const texts = runs.map((run) => {
    const { before, after, count } = run;
    return `what was ${barSpanText(before, before + count - 1)} is ${barSpanText(after, after + count - 1)} now`;
  });
  return sentenceStart(`${listText(texts)}.`);
}
