/** What the map of entries and exits says about the piece, in one sentence. */
import type { Stage } from '../../../model/music/arrangement.ts';
import { agreeing, barsText, counted, listText, sentenceStart } from '../../../model/words/plain-words.ts';
import type { StageReadings } from '../../../model/readings/readings.ts';
import { ENTRY_AND_EXIT_WORDS } from '../../../model/readings/terms.ts';
import { nameOf, type Front } from '../frame/front.ts';
import { MOST_SPANS } from '../../ruler/wording.ts';

/** Number of sounding parts by bar. */
export function soundingAt(readings: StageReadings): (bar: number) => number {
  const counts = new Map<number, number>();
  for (const span of readings.presence) {
    for (let bar = span.from; bar <= span.to; bar++) counts.set(bar, (counts.get(bar) ?? 0) + 1);
  }
  return (bar) => counts.get(bar) ?? 0;
}

export function describePresence(stage: Stage, readings: StageReadings, front: Front): string {
  const bars = stage.timeline.bars.map((bar) => bar.number);
  if (readings.presence.length === 0 || bars.length === 0)
    return 'No part of this stage has a note, so nobody enters or leaves.';
  const sounding = soundingAt(readings);
  const all = stage.parts.length;
  const most = bars.reduce((highest, bar) => Math.max(highest, sounding(bar)), 0);
  const fullest = bars.filter((bar) => sounding(bar) === most);
  const ensemble =
    all === 1
      ? `${stage.parts.map(nameOf).join('')} plays alone in ${barsText(
          bars.filter((bar) => sounding(bar) > 0),
          MOST_SPANS,
        )}`
      : `${most === all ? `all ${all} parts sound` : `at most ${most} of ${all} parts sound together,`} in ${barsText(fullest, MOST_SPANS)}`;
  const alone = bars.filter(
    (bar) =>
      sounding(bar) === 1 &&
      readings.presence.some((span) => bar >= span.from && bar <= span.to && front.isFront(span.partId, bar)),
  );
  const solo = all > 1 && alone.length > 0 ? `; ${front.name} is alone in ${barsText(alone, MOST_SPANS)}` : '';
  return sentenceStart(`${ensemble}${solo}; ${entriesText(readings)}.`);
}

function entriesText(readings: StageReadings): string {
  const count = (kind: string): number => readings.presence.filter((span) => span.entry === kind).length;
  const kinds = (['at-once', 'from-nothing', 'under-sounding-note'] as const)
    .map((kind) => ({ number: count(kind), words: ENTRY_AND_EXIT_WORDS[kind] }))
    .filter((item) => item.number > 0);
  const total = counted(readings.presence.length, 'entry', 'entries');
  if (readings.presence.length === 1) return `the only entry is ${kinds[0]?.words ?? ENTRY_AND_EXIT_WORDS['at-once']}`;
  if (kinds.length === 1) return `${total}, all ${kinds[0]?.words ?? ''}`;
  return `of ${total} ${listText(kinds.map((item) => `${item.number} ${agreeing(item.number, 'is', 'are')} ${item.words}`))}`;
}
