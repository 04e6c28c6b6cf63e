/** What a comparison says, in a form that tests can hold against the truth. */
import type { StageChange } from '../../../src/model/readings.ts';

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
