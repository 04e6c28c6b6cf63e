/** A part played in anew is the same music, however loosely it is played; what was written otherwise beside that is told. */
import { describe, expect, it } from 'vitest';
import { compareStages, type ComparedStage } from '../../../src/analyse/compare-stages.ts';
import { notateStage } from '../../../src/notate/notate-stage.ts';
import { gaussian, seeded } from '../../support/playing.ts';
import { editNotes, pieceOf, stageOfPiece, type Piece } from './edited-piece.ts';

/** Seconds: a hand without a click, three times as loose as with one (common practice, no source). */
const LOOSE_SECONDS = 0.04;

function take(piece: Piece, seed: number): Piece {
  const spread = gaussian(seeded(seed));
  return piece.parts.reduce(
    (played, { id }) => editNotes(played, id, (note) => ({ ...note, late: LOOSE_SECONDS * spread() })),
    piece,
  );
}

function notated(piece: Piece, id: string): ComparedStage {
  const stage = stageOfPiece(piece, id);
  return { stage, written: notateStage(stage) };
}

const told = (before: Piece, after: Piece): readonly string[] =>
  compareStages(notated(before, 'one'), notated(after, 'two')).edits.map(({ partId, kind }) => `${partId} ${kind}`);

describe('two loose takes of a quintet', () => {
  const piece = pieceOf(5, 16);

  it('differ in nothing', () => {
    for (const seed of [1, 3, 5]) expect(told(take(piece, seed), take(piece, seed + 1))).toEqual([]);
  });

  it('and a passage written otherwise beside them is told', () => {
    const rewritten = editNotes(piece, 'viola', (note) =>
      note.bar >= 5 && note.bar <= 7 ? { ...note, midi: note.midi + 3 } : note,
    );
    expect(told(take(piece, 1), take(rewritten, 2))).toEqual(['viola rewritten']);
  });
});
