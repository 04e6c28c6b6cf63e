/** Rests that keep time unseen. */
import type { SpelledPitch } from '../../model/music/pitch.ts';
import type { WrittenEvent } from '../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';

/** Heads of the other voice so many steps beyond the middle line push a rest off the staff: a step beside the outer line, and the two of its gap. */
const PUSHES_OFF = 3;

/** A bar of the lesser of two voices whose rests before its first and after its last note are not printed. */
export function hideOuterRests(voice: readonly WrittenEvent[]): readonly WrittenEvent[] {
  const first = voice.findIndex((event) => event.kind === 'notes');
  const last = voice.findLastIndex((event) => event.kind === 'notes');
  return voice.map((event, index) => (index < first || index > last ? { ...event, hidden: true } : event));
}

/**
 * The lesser of two voices of a short score without the rests, up to a quarter, that would hang in the air beyond the staff because the other
 * voice fills it: that one sounds meanwhile and keeps the time (common practice in reductions, no source). `side`: 1 where the rests are those
 * of the upper voice; `placeOf`: steps of a pitch above the middle line.
 */
export function hideFloatingRests(
  voice: readonly WrittenEvent[],
  other: readonly WrittenEvent[],
  side: 1 | -1,
  placeOf: (pitch: SpelledPitch) => number,
): readonly WrittenEvent[] {
  return voice.map((event) => {
    if (event.kind === 'notes' || event.hidden === true || event.length > DIVISIONS_PER_QUARTER) return event;
    const end = event.start + event.length;
    const beside = other.filter(({ start, length }) => start < end && start + length > event.start);
    if (beside.some(({ kind }) => kind === 'rest')) return event;
    const furthest = Math.max(...beside.flatMap(({ heads }) => heads.map(({ pitch }) => side * placeOf(pitch))));
    return furthest >= PUSHES_OFF ? { ...event, hidden: true } : event;
  });
}
