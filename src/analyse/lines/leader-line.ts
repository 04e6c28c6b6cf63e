/** The leader's top line. */
import type { Stage } from '../../model/music/arrangement.ts';
import type { MelodyNote } from '../../model/readings/readings.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import { leadersByBar } from './foreground-lookup.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';

interface Sounding {
  readonly note: PlacedNote;
  readonly partId: string;
}

/**
 * Notes of the leaders in the bars where they lead (who plays along in octaves adds no note), the upper staff alone where a
 * part has two, reduced to one line: the top of each onset, left out where a higher melody note still sounds; cut where the
 * next one begins.
 */
export function melodyOf(stage: Stage, placed: readonly PlacedPart[]): readonly MelodyNote[] {
  const { bars } = stage.timeline;
  const front = leadersByBar(stage);
  const candidates: Sounding[] = placed.flatMap(({ part, notes }) =>
    part.unpitched
      ? []
      : notes
          .filter((note) => note.written.staff === 1)
          .filter((note) => front[barIndexAt(bars, note.startQuarters)]?.has(part.id) ?? false)
          .map((note) => ({ note, partId: part.id })),
  );
  candidates.sort((a, b) => a.note.startQuarters - b.note.startQuarters || b.note.midi - a.note.midi);
  const line: MelodyNote[] = [];
  for (const { note, partId } of candidates) {
    const previous = line.at(-1);
    if (previous !== undefined) {
      if (note.startQuarters - previous.startQuarters < 1e-6) continue;
      const previousEnd = previous.startQuarters + previous.lengthQuarters;
      if (note.startQuarters < previousEnd - 1e-6) {
        if (note.midi < previous.midi) continue;
        line[line.length - 1] = { ...previous, lengthQuarters: note.startQuarters - previous.startQuarters };
      }
    }
    line.push({
      startQuarters: note.startQuarters,
      lengthQuarters: note.endQuarters - note.startQuarters,
      midi: note.midi,
      partId,
    });
  }
  return line;
}
