/** Who rests how much. */
import type { Stage } from '../../model/music/arrangement.ts';
import type { PartRest } from '../../model/readings/pacing.ts';
import type { PresenceSpan } from '../../model/readings/readings.ts';

interface BarSpan {
  readonly from: number;
  readonly to: number;
}

function longest(spans: readonly BarSpan[]): BarSpan | undefined {
  const size = ({ from, to }: BarSpan): number => to - from;
  const most = spans.reduce<BarSpan | undefined>(
    (best, span) => (best === undefined || size(span) > size(best) ? span : best),
    undefined,
  );
  return most === undefined ? undefined : { from: most.from, to: most.to };
}

/** Parts that have a note, in score order. */
export function restsOf(stage: Stage, presence: readonly PresenceSpan[]): readonly PartRest[] {
  return stage.parts.flatMap((part): PartRest[] => {
    const spans = presence.filter((span) => span.partId === part.id).sort((a, b) => a.from - b.from);
    const longestRun = longest(spans);
    if (longestRun === undefined) return [];
    const soundingBars = spans.reduce((sum, span) => sum + span.to - span.from + 1, 0);
    const gaps = spans.slice(1).map((span, index) => ({ from: (spans[index]?.to ?? 0) + 1, to: span.from - 1 }));
    const longestRest = longest(gaps);
    return [
      {
        partId: part.id,
        soundingBars,
        silentBars: stage.timeline.bars.length - soundingBars,
        ...(longestRest === undefined ? {} : { longestRest }),
        longestRun,
      },
    ];
  });
}
