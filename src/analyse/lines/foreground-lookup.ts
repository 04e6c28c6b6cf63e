/** Who is in front in which bar. */
import type { Stage } from '../../model/music/arrangement.ts';

function idsByBar(
  { timeline: { bars } }: Stage,
  spans: readonly { readonly partId: string; readonly from: number; readonly to: number }[],
): readonly ReadonlySet<string>[] {
  const sets = bars.map(() => new Set<string>());
  const first = bars[0]?.number ?? 1;
  for (const span of spans) {
    const from = Math.max(0, span.from - first);
    const to = Math.min(bars.length - 1, span.to - first);
    for (let index = from; index <= to; index++) sets[index]?.add(span.partId);
  }
  return sets;
}

/** For every bar of the stage (by index) the ids of the parts in front, those that share the lead too; empty where nobody is. */
export function foregroundByBar(stage: Stage): readonly ReadonlySet<string>[] {
  return idsByBar(
    stage,
    stage.foreground.flatMap((span) => [span, ...span.shared]),
  );
}

/** For every bar of the stage (by index) the id of the leader alone; empty where nobody leads. */
export function leadersByBar(stage: Stage): readonly ReadonlySet<string>[] {
  return idsByBar(stage, stage.foreground);
}
