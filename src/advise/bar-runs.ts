/** One cause over adjacent bars is one finding. */

import { groupedBy } from '../model/grouped.ts';

export interface BarRun<T> {
  readonly from: number;
  readonly to: number;
  readonly items: readonly T[];
  /** Other passages of the same cause that are not told apart from this one. */
  readonly elsewhere?: readonly BarRun<T>[];
}

/**
 * Groups items by runs of bar numbers. `gap` bars without an item may lie inside a run (0: adjacent bars only). Items need
 * not be sorted; several may share a bar. `endOf` gives the last bar of an item that lasts for more than one.
 */
export function barRuns<T>(
  items: readonly T[],
  barOf: (item: T) => number,
  gap = 0,
  endOf: (item: T) => number = barOf,
): readonly BarRun<T>[] {
  const sorted = [...items].sort((a, b) => barOf(a) - barOf(b));
  const runs: { from: number; to: number; items: T[] }[] = [];
  for (const item of sorted) {
    const bar = barOf(item);
    const open = runs.at(-1);
    if (open !== undefined && bar <= open.to + 1 + gap) {
      open.to = Math.max(open.to, endOf(item));
      open.items.push(item);
    } else {
      runs.push({ from: bar, to: Math.max(bar, endOf(item)), items: [item] });
    }
  }
  return runs;
}

/** Cuts runs where what `keyOf` says of their items changes: who leads, for example. */
export function splitWhere<T>(
  runs: readonly BarRun<T>[],
  barOf: (item: T) => number,
  keyOf: (item: T) => string,
): readonly BarRun<T>[] {
  return runs.flatMap(({ items }) => {
    const pieces: T[][] = [];
    let key: string | undefined;
    for (const item of items) {
      const own = keyOf(item);
      if (own === key) pieces.at(-1)?.push(item);
      else pieces.push([item]);
      key = own;
    }
    return pieces.map((own) => ({
      from: Math.min(...own.map(barOf)),
      to: Math.max(...own.map(barOf)),
      items: own,
    }));
  });
}

/** More passages than this of one cause are told as one finding: the worst, and where else. */
const TOLD_APART = 3;

/** How grave a passage is: by default the more of it the worse. */
export type Weigh<T> = (run: BarRun<T>) => number;

/** Runs as `barRuns` has them; where there are more than three, the worst of them, with the others beside it. */
export function gatheredRuns<T>(
  items: readonly T[],
  barOf: (item: T) => number,
  gap = 1,
  endOf: (item: T) => number = barOf,
  weigh: Weigh<T> = ({ items: own }) => own.length,
): readonly BarRun<T>[] {
  return toldTogether(barRuns(items, barOf, gap, endOf), () => '', weigh);
}

/**
 * Passages of one cause told together: of those with the same `keyOf` (parts and kind, for example) more than three become the
 * worst of them, which names the others; a finding that swept over all of them would have no place. Three or fewer stay apart, the
 * same objects. In the order of their first bars.
 */
export function toldTogether<T>(
  runs: readonly BarRun<T>[],
  keyOf: (run: BarRun<T>) => string,
  weigh: Weigh<T> = ({ items }) => items.length,
): readonly BarRun<T>[] {
  return [...groupedBy(runs, keyOf).values()]
    .flatMap((same) => {
      if (same.length <= TOLD_APART) return same;
      const worst = same.reduce((most, run) => (weigh(run) > weigh(most) ? run : most));
      return [{ ...worst, elsewhere: same.filter((run) => run !== worst) }];
    })
    .sort((a, b) => a.from - b.from);
}
