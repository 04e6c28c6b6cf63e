/** What a comparison says, in a form that tests can hold against the truth. */
import { analyseStage } from '../../../src/analyse/analyse-stage.ts';
import { compareStages, type ComparedStage } from '../../../src/analyse/compare-stages.ts';
import type { StageChange } from '../../../src/model/readings/readings.ts';
import { writtenOf } from '../../support/written.ts';
import { stageOfPiece, type Piece } from './edited-piece.ts';

/** A piece as a stage that can be compared; levels are only compared with readings. */
export function compared(piece: Piece, id: string, withReadings = false): ComparedStage {
  const stage = stageOfPiece(piece, id);
  const written = writtenOf(stage);
  return withReadings ? { stage, written, readings: analyseStage(stage, written) } : { stage, written };
}

/** What the comparison of two pieces says. */
export function changeOf(before: Piece, after: Piece, withReadings = false): StageChange {
  return compareStages(compared(before, 'one', withReadings), compared(after, 'two', withReadings));
}

/** Everything that a change names, empty things left out. */
export function named(change: StageChange): Record<string, unknown> {
  const { parts, barOrder } = change;
  const all: Record<string, unknown> = {
    added: parts.added,
    removed: parts.removed,
    renamed: parts.renamed,
    split: parts.split,
    joined: parts.joined,
    inserted: barOrder.inserted,
    appended: barOrder.appended,
    cut: barOrder.cut,
    moved: barOrder.moved,
    edits: change.edits.map(({ partId, kind, semitones, bars }) => ({
      partId,
      kind,
      bars: bars.length,
      ...(semitones === undefined ? {} : { semitones }),
    })),
    tempo: change.tempo.map(({ from, to }) => ({ from, to })),
    meter: change.meter,
    semitones: change.semitones === 0 ? [] : change.semitones,
  };
  return Object.fromEntries(Object.entries(all).filter(([, items]) => !(Array.isArray(items) && items.length === 0)));
}
