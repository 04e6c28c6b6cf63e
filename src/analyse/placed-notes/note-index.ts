/** Finds the notes of a part that sound at a moment, without going through all of them. */
import type { PlacedNote } from './placed-notes.ts';
import { firstReaching } from '../../model/sorted-search.ts';

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
  const last = firstReaching(notes, ({ startQuarters }) => startQuarters > quarters) - 1;
  const sounding: PlacedNote[] = [];
  for (let index = last; index >= 0 && (reach[index] ?? 0) > quarters; index--) {
    const note = notes[index];
    if (note !== undefined && note.endQuarters > quarters) sounding.push(note);
  }
  return sounding;
}
