/** Who is in front in which bar. */
import type { Stage } from '../model/arrangement.ts';

/** For every bar of the stage (by index) the ids of the parts in front; empty where nobody is. */
export function foregroundByBar(stage: Stage): readonly ReadonlySet<string>[] {
  const { bars } = stage.timeline;
  const sets = bars.map(() => new Set<string>());
  const first = bars[0]?.number ?? 1;
  for (const span of stage.foreground) {
    const from = Math.max(0, span.from - first);
    const to = Math.min(bars.length - 1, span.to - first);
    for (let index = from; index <= to; index++) sets[index]?.add(span.partId);
  }
  return sets;
}
