/** Where the recordings and the estimate part: part by part, and in which bars. */
import { median, sumDb } from '../../../model/music/dynamics.ts';
import type { LevelDifference, MeasuredBar, MeasuredGroup, MeasuredReading } from '../../../model/readings/measured.ts';
import type { BarBalance } from '../../../model/readings/readings.ts';

/** About one dynamic grade: less is what samples and halls do. Our convention. */
const TOLD_DB = 6;
/** A run goes on over one bar that is nearer than this, and over rests. */
const NEAR_DB = 3;
/** A bar on its own may be a crescendo that was played otherwise. */
const LEAST_BARS = 2;

/** Measured (LUFS) less estimated level of a group in each bar in which both have it sound. */
export function levelGaps(
  group: number,
  { partIds }: MeasuredGroup,
  bars: readonly MeasuredBar[],
  estimated: readonly BarBalance[],
): readonly (number | undefined)[] {
  return bars.map(({ groupsDb }, index) => {
    const levels = partIds.flatMap((id) => estimated[index]?.partsDb[id] ?? []).filter(Number.isFinite);
    const measured = groupsDb[group];
    return measured === undefined || levels.length === 0 ? undefined : measured - sumDb(levels);
  });
}

/** Runs of bars in which a group is clearly louder, or clearly softer, than its notes say. */
function runsIn(group: number, gap: readonly (number | undefined)[], bars: readonly MeasuredBar[]): LevelDifference[] {
  const runs: LevelDifference[] = [];
  for (const sign of [1, -1]) {
    let run: number[] = [];
    const close = (): void => {
      while (run.length > 0 && sign * (gap[run.at(-1) ?? 0] ?? 0) < TOLD_DB) run.pop();
      const told = run.filter((index) => sign * (gap[index] ?? 0) >= TOLD_DB);
      const [from, to] = [bars[run[0] ?? -1]?.bar, bars[run.at(-1) ?? -1]?.bar];
      const db = median(run.flatMap((index) => gap[index] ?? []));
      if (told.length >= LEAST_BARS && from !== undefined && to !== undefined && db !== undefined)
        runs.push({ group, from, to, db });
      run = [];
    };
    gap.forEach((own, index) => {
      if (own === undefined) return;
      const height = sign * own;
      if (height >= TOLD_DB || (run.length > 0 && height >= NEAR_DB)) run.push(index);
      else close();
    });
    close();
  }
  return runs.sort((a, b) => a.from - b.from || b.db - a.db);
}

/** The differences, once recordings and estimates as a whole stand at one level: that of a mix says nothing of its balance. */
export function differencesOf(
  groups: readonly MeasuredGroup[],
  bars: readonly MeasuredBar[],
  estimated: readonly BarBalance[],
): Pick<MeasuredReading, 'toEstimateDb' | 'groupDifferencesDb' | 'differences'> {
  const all = groups.map((group, index) => levelGaps(index, group, bars, estimated));
  // The middle of the groups, so that one that is far off does not move the others.
  const usual = median(all.flatMap((own) => median(own.flatMap((gap) => gap ?? [])) ?? [])) ?? 0;
  const levelled = all.map((own) => own.map((gap) => (gap === undefined ? undefined : gap - usual)));
  return {
    toEstimateDb: -usual,
    groupDifferencesDb: levelled.map((own) => median(own.flatMap((gap) => gap ?? []))),
    differences: levelled.flatMap((own, group) => runsIn(group, own, bars)),
  };
}
