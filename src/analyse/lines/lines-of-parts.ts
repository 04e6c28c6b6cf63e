/** The lines of a part: its staves and voices, as they are written. */
import { groupedBy } from '../../model/grouped.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';

export interface Line {
  /** Sorted by start; notes of a chord begin together. */
  readonly notes: readonly PlacedNote[];
  readonly partId: string;
  readonly partIndex: number;
}

/** The lines of a part, in the order in which they begin; `partIndex` is handed on. */
export function linesOf({ part, notes }: PlacedPart, partIndex: number): Line[] {
  const lines = groupedBy(notes, ({ written }) => written.staff * 16 + written.voice);
  return [...lines.values()].map((line) => ({ notes: line, partId: part.id, partIndex }));
}
