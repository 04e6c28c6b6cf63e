/** Stages of a piece that grows, each with a few of the edits that an arranger makes. */
import { seeded } from '../../support/playing.ts';
import { editNotes, editPart, insertBars, cutBars, pieceOf, type Piece } from './edited-piece.ts';

/** Every note played up to 15 ms early or late. */
function playedIn(piece: Piece, seed: number): Piece {
  const next = seeded(seed);
  return piece.parts.reduce(
    (made, { id }) => editNotes(made, id, (note) => ({ ...note, late: 0.03 * next() - 0.015 })),
    piece,
  );
}

/** As many stages, each made of the one before it; every second one played in anew besides, where `isAnew`. */
export function grownPieces(count: number, barCount: number, partCount: number, isAnew: boolean): readonly Piece[] {
  const other = pieceOf(99, barCount, partCount);
  const stages = [playedIn(pieceOf(7, barCount, partCount), 1)];
  for (let stage = 1; stage < count; stage++) {
    const before = stages[stage - 1]!;
    const idAt = (place: number): string => before.parts[(stage + place) % partCount]!.id;
    const from = (13 * stage) % (barCount - 20);
    const isIn = ({ bar }: { readonly bar: number }): boolean => bar > from && bar <= from + 8;
    let made = stage % 3 === 1 ? insertBars(before, from + 1, 4, stage) : before;
    if (stage % 3 === 2) made = cutBars(made, from + 1, 4);
    made = editNotes(made, idAt(0), (note) => ({ ...note, velocity: Math.round(0.7 * note.velocity) }));
    made = editNotes(made, idAt(1), (note) => (isIn(note) ? { ...note, midi: note.midi - 12 } : note));
    made = editPart(made, idAt(2), (part) => ({
      ...part,
      notes: [...part.notes.filter((note) => !isIn(note)), ...other.parts[(stage + 2) % partCount]!.notes.filter(isIn)],
    }));
    stages.push(isAnew && stage % 2 === 0 ? playedIn(made, stage + 1) : made);
  }
  return stages;
}
