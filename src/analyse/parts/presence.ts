/** Where each part sounds: spans of bars between whole silent bars. */
import type { Stage } from '../../model/music/arrangement.ts';
import type { PresenceSpan } from '../../model/readings/readings.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import type { EnteringPart } from './entry-and-exit.ts';
import { entryKind, exitKind } from './entry-and-exit.ts';
import { foregroundByBar } from '../lines/foreground-lookup.ts';
import type { LevelModel } from '../level/level-model.ts';
import { indexNotes } from '../placed-notes/note-index.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';

interface NoteSpan {
  fromIndex: number;
  toIndex: number;
  firstQuarters: number;
  lastQuarters: number;
}

/** Groups notes (sorted by start) into spans separated by at least one whole silent bar. */
function spansOf(notes: readonly PlacedNote[], stage: Stage): readonly NoteSpan[] {
  const { bars } = stage.timeline;
  const spans: NoteSpan[] = [];
  for (const note of notes) {
    const fromIndex = barIndexAt(bars, note.startQuarters);
    // A note that ends on a bar line does not sound in the bar that begins there.
    const toIndex = Math.max(fromIndex, barIndexAt(bars, note.endQuarters - 1e-4));
    const open = spans.at(-1);
    if (open !== undefined && fromIndex <= open.toIndex + 1) {
      open.toIndex = Math.max(open.toIndex, toIndex);
      open.lastQuarters = Math.max(open.lastQuarters, note.endQuarters);
    } else {
      spans.push({ fromIndex, toIndex, firstQuarters: note.startQuarters, lastQuarters: note.endQuarters });
    }
  }
  return spans;
}

/** Spans of sounding bars of every part, with how it enters and leaves each time (see entry-and-exit.ts). */
export function presenceOf(
  stage: Stage,
  placed: readonly PlacedPart[],
  models: readonly LevelModel[],
): readonly PresenceSpan[] {
  const { bars } = stage.timeline;
  if (bars.length === 0) return [];
  const entering = placed.flatMap((part, index): EnteringPart[] => {
    const model = models[index];
    return model === undefined ? [] : [{ id: part.part.id, index: indexNotes(part.notes), model }];
  });
  const byId = new Map(entering.map((part) => [part.id, part]));
  const front = foregroundByBar(stage).map((ids) => [...ids].flatMap((id) => byId.get(id) ?? []));
  return entering.flatMap((part) =>
    spansOf(part.index.notes, stage).map((span) => ({
      partId: part.id,
      from: bars[span.fromIndex]?.number ?? 0,
      to: bars[span.toIndex]?.number ?? 0,
      entry: entryKind(part, span.firstQuarters, front[span.fromIndex] ?? [], stage.timeline),
      exit: exitKind(part, span.lastQuarters, entering, stage.timeline),
      firstQuarters: span.firstQuarters,
      lastQuarters: span.lastQuarters,
    })),
  );
}
