/** The texture cut at every onset and release: who sounds together. */
import type { Timeline } from '../../model/music/timeline.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import type { PlacedNote, PlacedPart } from './placed-notes.ts';

export interface SoundingNote {
  readonly note: PlacedNote;
  /** Index of the part among the placed parts. */
  readonly partIndex: number;
}

/** A stretch in which nothing begins or ends. */
export interface Slice {
  readonly barIndex: number;
  readonly startQuarters: number;
  readonly endQuarters: number;
  /** Low to high; notes without pitch are left out. */
  readonly sounding: readonly SoundingNote[];
}

/**
 * Slices in order, silent ones left out. They are cut at bar lines too, so that each lies in one bar. Written lengths count,
 * not the pedal. The number of slices grows with the onsets, that of the sounding notes with the parts.
 */
export function slicesOf(placed: readonly PlacedPart[], { bars }: Timeline): readonly Slice[] {
  const notes = placed
    .flatMap((part, partIndex) => (part.part.unpitched ? [] : part.notes.map((note) => ({ note, partIndex }))))
    .sort((a, b) => a.note.startQuarters - b.note.startQuarters);
  const cuts = new Set<number>();
  for (const { note } of notes) cuts.add(note.startQuarters).add(note.endQuarters);
  for (const bar of bars) cuts.add(bar.startQuarters);
  const sorted = [...cuts].sort((a, b) => a - b);
  const slices: Slice[] = [];
  let active: SoundingNote[] = [];
  let next = 0;
  sorted.forEach((startQuarters, index) => {
    const endQuarters = sorted[index + 1];
    if (endQuarters === undefined) return;
    const before = active.length;
    active = active.filter(({ note }) => note.endQuarters > startQuarters);
    let changed = active.length !== before;
    for (let item = notes[next]; item !== undefined && item.note.startQuarters <= startQuarters; item = notes[++next]) {
      if (!changed) active = [...active];
      active.push(item);
      changed = true;
    }
    if (changed) active.sort((a, b) => a.note.midi - b.note.midi);
    if (active.length === 0) return;
    slices.push({ barIndex: barIndexAt(bars, startQuarters), startQuarters, endQuarters, sounding: active });
  });
  return slices;
}
