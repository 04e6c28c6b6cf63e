/** Where the foreground sounds, and who it is there: what the rules of balance start from. */
import type { BarBalance } from '../model/readings.ts';
import type { RuleContext } from './rule.ts';

/** The foreground sounds in at least this share of the bar's beats. */
const FOREGROUND_SHARE = 0.5;

/** Bars in which the foreground sounds in at least half of the beats. */
export function barsWithForeground({ readings }: RuleContext): ReadonlySet<number> {
  const counts = new Map<number, { all: number; front: number }>();
  for (const beat of readings.beats) {
    const count = counts.get(beat.bar) ?? { all: 0, front: 0 };
    count.all++;
    if (beat.foregroundDb !== undefined) count.front++;
    counts.set(beat.bar, count);
  }
  return new Set([...counts].filter(([, { all, front }]) => front >= all * FOREGROUND_SHARE).map(([bar]) => bar));
}

/** Ids of the parts that are in front and sound in any of these bars. */
export function frontIdsOf(bars: readonly BarBalance[], { stage, front }: RuleContext): readonly string[] {
  const first = stage.timeline.bars[0]?.number ?? 1;
  return [
    ...new Set(bars.flatMap(({ bar, partsDb }) => [...(front[bar - first] ?? [])].filter((id) => id in partsDb))),
  ];
}

/** True where the level of a part in front is an assumption, as no figure is published. */
export function isFrontAssumed(frontIds: readonly string[], { readings }: RuleContext): boolean {
  return readings.levelAssumptions.some((item) => item.assumed && frontIds.includes(item.partId));
}
