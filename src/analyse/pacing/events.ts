/** Entries and exits in the order of time, with the silence around each. */
import type { Stage } from '../../model/music/arrangement.ts';
import type { EntryEvent, ExitEvent, PhraseStart } from '../../model/readings/pacing.ts';
import type { PresenceSpan } from '../../model/readings/readings.ts';
import { secondAt } from '../../model/music/timeline.ts';
import { comesWith, entryWindows } from './phrases.ts';

function spansByPart(presence: readonly PresenceSpan[]): ReadonlyMap<string, readonly PresenceSpan[]> {
  const spans = new Map<string, PresenceSpan[]>();
  for (const span of presence) {
    const known = spans.get(span.partId);
    if (known === undefined) spans.set(span.partId, [span]);
    else known.push(span);
  }
  for (const list of spans.values()) list.sort((a, b) => a.from - b.from);
  return spans;
}

/** Entries, those of one moment in score order. */
export function entriesOf(
  stage: Stage,
  presence: readonly PresenceSpan[],
  phrases: readonly PhraseStart[],
): readonly EntryEvent[] {
  const { timeline } = stage;
  const first = timeline.bars[0];
  if (first === undefined) return [];
  const order = new Map(stage.parts.map((part, index) => [part.id, index]));
  const windows = entryWindows(phrases, timeline.bars);
  const unordered = [...spansByPart(presence)].flatMap(([partId, spans]) =>
    spans.map((span, index): EntryEvent => {
      const before = spans[index - 1];
      const second = secondAt(timeline, span.firstQuarters);
      return {
        partId,
        bar: span.from,
        quarters: span.firstQuarters,
        second,
        kind: span.entry,
        comesWith: comesWith(span.firstQuarters, windows),
        restBars: span.from - (before === undefined ? first.number : before.to + 1),
        restSeconds: Math.max(
          0,
          second - (before === undefined ? first.startSecond : secondAt(timeline, before.lastQuarters)),
        ),
      };
    }),
  );
  const sorted = unordered.sort(
    (a, b) => a.quarters - b.quarters || (order.get(a.partId) ?? 0) - (order.get(b.partId) ?? 0),
  );
  return sorted.map((event, index) => {
    const before = sorted[index - 1];
    if (before === undefined) return event;
    return { ...event, sinceBars: event.bar - before.bar, sinceSeconds: event.second - before.second };
  });
}

/** Exits, those of one moment in score order. */
export function exitsOf(stage: Stage, presence: readonly PresenceSpan[]): readonly ExitEvent[] {
  const { timeline } = stage;
  const order = new Map(stage.parts.map((part, index) => [part.id, index]));
  return [...spansByPart(presence)]
    .flatMap(([partId, spans]) =>
      spans.map((span, index): ExitEvent => {
        const next = spans[index + 1];
        const second = secondAt(timeline, span.lastQuarters);
        const rest =
          next === undefined
            ? {}
            : {
                restBars: next.from - span.to - 1,
                restSeconds: Math.max(0, secondAt(timeline, next.firstQuarters) - second),
              };
        return { partId, bar: span.to, quarters: span.lastQuarters, second, kind: span.exit, ...rest };
      }),
    )
    .sort((a, b) => a.quarters - b.quarters || (order.get(a.partId) ?? 0) - (order.get(b.partId) ?? 0));
}
