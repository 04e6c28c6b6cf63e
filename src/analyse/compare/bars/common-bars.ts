/** One ruler for all stages: every bar that any stage has, each once, so that strips of all stages can stand under one another. */
import type { Stage } from '../../../model/music/arrangement.ts';
import type { StageChange } from '../../../model/readings/readings.ts';
import type { Bar } from '../../../model/music/timeline.ts';

export interface CommonBars {
  /** In order, numbered as columns; length and meter are those of the last stage that has the bar. */
  readonly columns: readonly Bar[];
  /** Index of a bar's column, by stage id and bar number. */
  readonly columnOf: (stageId: string, bar: number) => number | undefined;
}

/** Bar number of the later stage to that of the earlier; moved bars stand in a new place and are left out. */
function earlierNumbers(change: StageChange): ReadonlyMap<number, number> {
  const pairs = new Map<number, number>();
  for (const run of change.barOrder.kept) {
    for (let bar = 0; bar < run.count; bar++) pairs.set(run.after + bar, run.before + bar);
  }
  return pairs;
}

/** Lays the bars of all stages out in one order. `changes` are the steps from each stage to the next. */
export function commonBars(stages: readonly Stage[], changes: readonly StageChange[]): CommonBars {
  let order: number[] = [];
  let created = 0;
  const latest = new Map<number, Bar>();
  const byStage = new Map<string, Map<number, number>>();
  let previous: Map<number, number> | undefined;
  for (const stage of stages) {
    const change = changes.find((step) => step.after === stage.id);
    const earlier = change === undefined ? undefined : earlierNumbers(change);
    const own = new Map<number, number>();
    const followers = new Map<number, number[]>();
    let last = -1;
    for (const bar of stage.timeline.bars) {
      const known = previous?.get(earlier?.get(bar.number) ?? Number.NaN);
      const column = known ?? created++;
      if (known === undefined) {
        const list = followers.get(last);
        if (list === undefined) followers.set(last, [column]);
        else list.push(column);
      } else last = known;
      own.set(bar.number, column);
      latest.set(column, bar);
    }
    order = [...(followers.get(-1) ?? []), ...order.flatMap((column) => [column, ...(followers.get(column) ?? [])])];
    byStage.set(stage.id, own);
    previous = own;
  }
  const first = stages.at(-1)?.timeline.bars[0]?.number === 0 ? 0 : 1;
  const place = new Map(order.map((column, index) => [column, index]));
  return {
    columns: order.flatMap((column, index) => {
      const bar = latest.get(column);
      return bar === undefined ? [] : [{ ...bar, number: first + index }];
    }),
    columnOf: (stageId, bar) => place.get(byStage.get(stageId)?.get(bar) ?? -1),
  };
}
