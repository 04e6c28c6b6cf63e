/** Which parts sound the tones of each chord. */
import type { ChordCoverage } from '../../model/readings/readings.ts';
import type { ChordSpan } from '../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import { firstChordEndingAfter } from './chord-at.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';

/** A tone counts where it sounds for an eighth note, or half the chord where that is shorter. */
const COUNTING_DIVISIONS = DIVISIONS_PER_QUARTER / 2;

/** Coverage of every chord, in the order of the chords (which are sorted and do not overlap). */
export function coverageOf(chords: readonly ChordSpan[], placed: readonly PlacedPart[]): readonly ChordCoverage[] {
  const soundedBy = chords.map(() => new Map<number, Set<string>>());
  for (const { part, notes } of placed) {
    if (part.unpitched) continue;
    for (const { written } of notes) {
      const end = written.start + written.length;
      for (let index = firstChordEndingAfter(chords, written.start); index < chords.length; index++) {
        const chord = chords[index];
        if (chord === undefined || chord.start >= end) break;
        const overlap = Math.min(end, chord.start + chord.length) - Math.max(written.start, chord.start);
        const pitchClass = written.midi % 12;
        if (overlap < Math.min(COUNTING_DIVISIONS, chord.length / 2) || !chord.tones.includes(pitchClass)) continue;
        const byClass = soundedBy[index];
        if (byClass === undefined) continue;
        const parts = byClass.get(pitchClass) ?? new Set();
        byClass.set(pitchClass, parts.add(part.id));
      }
    }
  }
  return chords.map((chord, index) => {
    const byClass = soundedBy[index] ?? new Map<number, Set<string>>();
    const covered = chord.tones.flatMap((tone) => {
      const parts = byClass.get(tone);
      return parts === undefined ? [] : [[String(tone), [...parts]] as const];
    });
    return {
      chord: index,
      covered: Object.fromEntries(covered),
      missing: chord.tones.filter((tone) => !byClass.has(tone)),
    };
  });
}
