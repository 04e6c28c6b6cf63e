/** One cause over adjacent bars is one finding. */

export interface BarRun<T> {
  readonly from: number;
  readonly to: number;
  readonly items: readonly T[];
}

/**
 * Groups items by runs of bar numbers. `gap` bars without an item may lie inside a run (0: adjacent bars only). Items need
 * not be sorted; several may share a bar.
 */
export function barRuns<T>(items: readonly T[], barOf: (item: T) => number, gap = 0): readonly BarRun<T>[] {
  const sorted = [...items].sort((a, b) => barOf(a) - barOf(b));
  const runs: { from: number; to: number; items: T[] }[] = [];
  for (const item of sorted) {
    const bar = barOf(item);
    const open = runs.at(-1);
    if (open !== undefined && bar <= open.to + 1 + gap) {
      open.to = bar;
      open.items.push(item);
    } else {
      runs.push({ from: bar, to: bar, items: [item] });
    }
  }
  return runs;
}
