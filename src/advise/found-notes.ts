/** The notes that a finding is about, by their place in the part: what a picture of the finding rings. */
import type { PlacedNote } from '../analyse/placed-notes/placed-notes.ts';
import type { Part } from '../model/music/arrangement.ts';
import type { FoundNote } from '../model/readings/readings.ts';

/** Notes of a part as a finding names them, in the order given. */
export function foundNotes(part: Part | undefined, notes: readonly PlacedNote[]): readonly FoundNote[] {
  return part === undefined ? [] : notes.map(({ written }) => ({ partId: part.id, played: written.played }));
}
