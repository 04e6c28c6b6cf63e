/** Events at their places in a piece, as a track of a MIDI file. */
import type { MidiEvent } from 'midi-file';

export interface TimedEvent {
  /** From the start of the track. */
  readonly tick: number;
  readonly order: number;
  readonly event: MidiEvent;
}

/** A track with the time from event to event, and its end; at one tick the lower `order` comes first. */
export function toTrack(events: readonly TimedEvent[]): MidiEvent[] {
  const sorted = [...events].sort((a, b) => a.tick - b.tick || a.order - b.order);
  let last = 0;
  const track = sorted.map(({ tick, event }) => {
    const deltaTime = tick - last;
    last = tick;
    return { ...event, deltaTime };
  });
  return [...track, { deltaTime: 0, meta: true, type: 'endOfTrack' }];
}
