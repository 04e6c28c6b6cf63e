/** The register of each family of the background, bar by bar, and how far it lies from the foreground. */
import type { Part } from '../../model/music/arrangement.ts';
import { groupedBy } from '../../model/grouped.ts';
import type { RegisterReading } from '../../model/readings/readings.ts';
import type { FamilyEnvelope } from '../../model/readings/spacing.ts';

/** Sounding MIDI key numbers, both ends included. */
export interface Span {
  readonly low: number;
  readonly high: number;
}

function spanOf(readings: readonly RegisterReading[]): Span {
  return { low: Math.min(...readings.map(({ low }) => low)), high: Math.max(...readings.map(({ high }) => high)) };
}

/** Semitones from the foreground: negative below, positive above, 0 where the spans touch or overlap. */
function distanceFrom(front: Span, span: Span): number {
  if (span.high < front.low) return span.high - front.low;
  return span.low > front.high ? span.low - front.high : 0;
}

/**
 * One envelope for every family and bar in which a background part of it sounds; families in the order of the parts. `tunes`
 * has the compass of the tune by bar, for the bars in which it stands for the foreground.
 */
export function familyEnvelopes(
  register: readonly RegisterReading[],
  parts: readonly Part[],
  front: readonly ReadonlySet<string>[],
  firstBar: number,
  tunes: ReadonlyMap<number, Span | undefined>,
): readonly FamilyEnvelope[] {
  const familyOf = new Map(parts.map(({ id, family }) => [id, family]));
  const families = [...new Set(familyOf.values())];
  const isFront = ({ partId, bar }: RegisterReading): boolean => front[bar - firstBar]?.has(partId) ?? false;
  const byBar = [...groupedBy(register, ({ bar }) => bar)].sort(([one], [other]) => one - other);
  return byBar.flatMap(([bar, inBar]) => {
    const ahead = inBar.filter(isFront);
    const isFromTune = tunes.has(bar);
    const lead = isFromTune ? tunes.get(bar) : ahead.length === 0 ? undefined : spanOf(ahead);
    return families.flatMap((family): FamilyEnvelope[] => {
      const group = inBar.filter((reading) => familyOf.get(reading.partId) === family && !isFront(reading));
      if (group.length === 0) return [];
      const span = spanOf(group);
      const centre = group.reduce((sum, reading) => sum + reading.centre, 0) / group.length;
      const distance = lead === undefined ? {} : { distance: distanceFrom(lead, span) };
      return [{ family, bar, ...span, centre, ...distance, ...(isFromTune ? { isFromTune } : {}) }];
    });
  });
}
