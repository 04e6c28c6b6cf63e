/** By how much the music as a whole stands higher or lower, found before its bars are known to each other. */
import type { BarNote, BarPart } from './bar-notes.ts';

/** Divisions: sixteenths. */
const ONSET_STEP = 120;
/** Fewer notes say too little about where they come from. */
const LEAST_NOTES = 2;

interface Shape {
  readonly key: string;
  readonly lowest: number;
}

/** The shape of each bar of a part: onsets and pitches above the lowest. */
function shapesOf(notes: readonly BarNote[]): readonly Shape[] {
  const byBar = new Map<number, BarNote[]>();
  for (const note of notes) {
    const known = byBar.get(note.bar);
    if (known === undefined) byBar.set(note.bar, [note]);
    else known.push(note);
  }
  return [...byBar.values()].flatMap((bar): Shape[] => {
    if (bar.length < LEAST_NOTES) return [];
    const lowest = bar.reduce((low, note) => Math.min(low, note.midi), 127);
    return [
      { key: bar.map((note) => `${Math.round(note.onset / ONSET_STEP)}:${note.midi - lowest}`).join(' '), lowest },
    ];
  });
}

/**
 * The interval in semitones at which most bars of the parts that both stages have are found again, upwards positive; 0
 * where no interval has the majority.
 */
export function pieceShift(before: readonly BarPart[], after: readonly BarPart[]): number {
  const known = new Map(before.map((item) => [item.part.id, item]));
  const votes = new Map<number, number>();
  let total = 0;
  for (const { part, notes } of after) {
    const earlier = known.get(part.id);
    if (earlier === undefined || part.unpitched) continue;
    const lowestByKey = new Map<string, Set<number>>();
    for (const { key, lowest } of shapesOf(earlier.notes)) {
      lowestByKey.set(key, (lowestByKey.get(key) ?? new Set<number>()).add(lowest));
    }
    for (const { key, lowest } of shapesOf(notes)) {
      const found = lowestByKey.get(key);
      if (found === undefined) continue;
      total++;
      for (const other of found) votes.set(lowest - other, (votes.get(lowest - other) ?? 0) + 1 / found.size);
    }
  }
  const [best] = [...votes].sort((a, b) => b[1] - a[1] || Math.abs(a[0]) - Math.abs(b[0]) || a[0] - b[0]);
  return best !== undefined && best[1] > total / 2 ? best[0] : 0;
}
