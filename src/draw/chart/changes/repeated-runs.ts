/** New bars that are others once more, in words. */
import { agreeing, barSpanText, numbersIn } from '../../../model/words/plain-words.ts';
import type { BarRun, StageChange } from '../../../model/readings/readings.ts';

type Order = StageChange['barOrder'];

function spansOf({ before, after, count }: BarRun): { readonly one: string; readonly again: string } {
  return { one: barSpanText(before, before + count - 1), again: barSpanText(after, after + count - 1) };
}

/** `bars 17–20 are repeated as bars 21–24`. */
export function repeatText(run: BarRun): string {
  const { one, again } = spansOf(run);
  return `${one} ${agreeing(run.count, 'is', 'are')} repeated as ${again}`;
}

/** `repeats bars 17–20 as bars 21–24`. */
export function repeatClause(run: BarRun): string {
  const { one, again } = spansOf(run);
  return `repeats ${one} as ${again}`;
}

/** New bars without those that are others once more. */
export function withoutRepeated(bars: readonly number[], { repeats = [] }: Order): readonly number[] {
  const again = new Set(repeats.flatMap(({ after, count }) => numbersIn({ from: after, to: after + count - 1 })));
  return bars.filter((bar) => !again.has(bar));
}
