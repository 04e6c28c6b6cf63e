/** Finds the notes of a part that sound at a moment, without going through all of them. */
import type { PlacedNote } from './placed-notes.ts';

export interface NoteIndex {
  readonly notes: readonly PlacedNote[];
  /** Latest written end among the notes up to this one. */
  readonly reach: Float64Array;
}

/** Index over notes sorted by start. */
export function indexNotes(notes: readonly PlacedNote[]): NoteIndex {
  const reach = new Float64Array(notes.length);
  let latest = Number.NEGATIVE_INFINITY;
  notes.forEach((note, index) => {
    latest = Math.max(latest, note.endQuarters);
    reach[index] = latest;
  });
  return { notes, reach };
}

/** Notes written to start at or before `quarters` and to end after it. */
export function soundingAt({ notes, reach }: NoteIndex, quarters: number): readonly PlacedNote[] {
  let low = -1;
  let high = notes.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((notes[middle]?.startQuarters ?? 0) <= quarters) low = middle;
    else high = middle - 1;
  }
  const sounding: PlacedNote[] = [];
  for (let index = low; index >= 0 && (reach[index] ?? 0) > quarters; index--) {
    const note = notes[index];
    if (note !== undefined && note.endQuarters > quarters) sounding.push(note);
  }
  return sounding;
}
