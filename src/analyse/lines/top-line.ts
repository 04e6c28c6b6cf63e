/** A part as one line: the top note of every onset. */
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';

/** Sorted by start; one note an onset. */
export function topLineOf({ notes }: PlacedPart): readonly PlacedNote[] {
  const line: PlacedNote[] = [];
  for (const note of notes) {
    if (line.at(-1)?.startQuarters === note.startQuarters) line[line.length - 1] = note;
    else line.push(note);
  }
  return line;
}
