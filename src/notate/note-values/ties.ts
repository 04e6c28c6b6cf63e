/** Ties that hold: every tie leads from a head to the same pitch in the event that follows at once on the same staff. */
import type { NoteHead, WrittenEvent } from '../../model/music/written.ts';
import { midiOf } from '../../model/music/pitch.ts';

type Voices = readonly (readonly WrittenEvent[])[];

function sameHead(event: WrittenEvent | undefined, head: NoteHead): NoteHead | undefined {
  const midi = midiOf(head.pitch);
  return event?.heads.find((other) => other.tieFromPrevious && midiOf(other.pitch) === midi);
}

/**
 * Clears the ties of one staff that lead nowhere or come from nowhere. `bars` are the voices of the staff, bar by bar. Over a bar line a
 * tie may change between the two voices of the staff, as the number of voices changes.
 */
export function settleTies(bars: readonly Voices[]): Voices[] {
  const reached = new Set<NoteHead>();
  const leading = new Set<NoteHead>();
  for (const [barIndex, voices] of bars.entries()) {
    for (const [voiceIndex, voice] of voices.entries()) {
      for (const [index, event] of voice.entries()) {
        const inBar = voice[index + 1];
        const next = bars[barIndex + 1] ?? [];
        const followers = inBar !== undefined ? [inBar] : [next[voiceIndex]?.[0], ...next.map((other) => other[0])];
        for (const head of event.heads) {
          if (!head.tieToNext) continue;
          for (const follower of followers) {
            const target = sameHead(follower, head);
            if (target === undefined || reached.has(target)) continue;
            reached.add(target);
            leading.add(head);
            break;
          }
        }
      }
    }
  }
  return bars.map((voices) =>
    voices.map((voice) =>
      voice.map((event) =>
        event.kind === 'rest'
          ? event
          : {
              ...event,
              heads: event.heads.map((head) => ({
                ...head,
                tieFromPrevious: reached.has(head),
                tieToNext: leading.has(head),
              })),
            },
      ),
    ),
  );
}
