/** Stretches in which nobody sounds: a general pause is an event too. */
import type { Silence } from '../../model/readings/pacing.ts';
import { barIndexAt, pulseQuarters, secondAt, type Timeline } from '../../model/music/timeline.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';

/** Silences of a beat or more between the first and the last sound, the pedal counted as sound. */
export function silencesOf(placed: readonly PlacedPart[], timeline: Timeline): readonly Silence[] {
  const { bars } = timeline;
  const notes = placed
    .flatMap((part) => part.notes)
    .map((note) => [note.startQuarters, note.soundingEndQuarters] as const)
    .sort((a, b) => a[0] - b[0]);
  const silences: Silence[] = [];
  let end = notes[0]?.[0] ?? 0;
  for (const [startQuarters, soundingEnd] of notes) {
    const first = bars[barIndexAt(bars, end)];
    const beat = first === undefined ? 1 : pulseQuarters(first.meter);
    if (first !== undefined && startQuarters - end >= beat - 1e-6) {
      const last = bars[barIndexAt(bars, startQuarters - 1e-4)] ?? first;
      const second = secondAt(timeline, end);
      silences.push({
        from: first.number,
        to: last.number,
        startQuarters: end,
        endQuarters: startQuarters,
        second,
        seconds: secondAt(timeline, startQuarters) - second,
      });
    }
    end = Math.max(end, soundingEnd);
  }
  return silences;
}
