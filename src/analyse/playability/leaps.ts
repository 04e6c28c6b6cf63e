/** Leaps inside a line that is played without a break. */
import { instrumentById } from '../../model/music/catalogue.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';

/** A gap shorter than this is no time to prepare the next note. */
const UNBROKEN_SECONDS = 0.1;

export interface Leap {
  readonly from: PlacedNote;
  readonly to: PlacedNote;
  /** Semitones, positive upward. */
  readonly semitones: number;
  /** From onset to onset, as performed. */
  readonly seconds: number;
}

/**
 * Every step from one note to the next of a wind, brass or vocal line that follows without a break of 0.1 s; chords (more
 * players on one part) are left out. Empty for other instruments: a leap over the strings or keys is another matter.
 */
export function leapsOf({ part, notes }: PlacedPart): readonly Leap[] {
  if (part.unpitched || instrumentById(part.instrument)?.polyphony.kind !== 'monophonic') return [];
  const isChord = (index: number): boolean =>
    notes[index + 1]?.startQuarters === notes[index]?.startQuarters ||
    notes[index - 1]?.startQuarters === notes[index]?.startQuarters;
  return notes.flatMap((to, index) => {
    const from = notes[index - 1];
    if (from === undefined || isChord(index) || isChord(index - 1)) return [];
    if (to.played.startSecond - from.played.endSecond >= UNBROKEN_SECONDS) return [];
    const seconds = to.played.startSecond - from.played.startSecond;
    return { from, to, semitones: to.midi - from.midi, seconds };
  });
}
