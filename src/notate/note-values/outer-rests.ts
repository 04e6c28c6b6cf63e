/** Rests that keep time unseen. */
import type { WrittenEvent } from '../../model/music/written.ts';

/**
 * A bar of the lesser of two voices with the rests before its first and after its last note unprinted; those before it stay where the
 * other voice sounds meanwhile, from `sounding` on (never where that is not given), so that one sees on which beat the voice enters.
 */
export function hideOuterRests(voice: readonly WrittenEvent[], sounding = Infinity): readonly WrittenEvent[] {
  const first = voice.findIndex((event) => event.kind === 'notes');
  const last = voice.findLastIndex((event) => event.kind === 'notes');
  const isPrinted = voice.some((event, index) => index < first && event.start >= sounding);
  return voice.map((event, index) =>
    (index < first && !isPrinted) || index > last ? { ...event, hidden: true } : event,
  );
}
