/** Rests that keep time unseen. */
import type { WrittenEvent } from '../../model/music/written.ts';

/** A bar of the lesser of two voices whose rests before its first and after its last note are not printed. */
export function hideOuterRests(voice: readonly WrittenEvent[]): readonly WrittenEvent[] {
  const first = voice.findIndex((event) => event.kind === 'notes');
  const last = voice.findLastIndex((event) => event.kind === 'notes');
  return voice.map((event, index) => (index < first || index > last ? { ...event, hidden: true } : event));
}
