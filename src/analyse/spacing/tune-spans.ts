/** Where the tune stands for the foreground, and how far it reaches: a soloist who plays chords is everywhere at once. */
import type { Part } from '../../model/music/arrangement.ts';
import { instrumentById } from '../../model/music/catalogue.ts';
import type { MelodyNote } from '../../model/readings/readings.ts';
import type { Bar } from '../../model/music/timeline.ts';
import type { Slice } from '../placed-notes/slices.ts';
import type { Span } from './family-envelope.ts';

/** Keyboards, harp, guitar and whatever else the catalogue has for an instrument of chords. */
function isChordal({ instrument }: Part): boolean {
  return instrumentById(instrument)?.polyphony.kind === 'polyphonic';
}

/** True where one part of the foreground has several pitches at once. */
function hasChord({ sounding }: Slice, isFront: (partIndex: number) => boolean): boolean {
  const pitchOf = new Map<number, number>();
  return sounding.some(({ partIndex, note: { midi } }) => {
    if (!isFront(partIndex)) return false;
    const other = pitchOf.get(partIndex);
    pitchOf.set(partIndex, midi);
    return other !== undefined && other !== midi;
  });
}

/**
 * The tune's lowest and highest note, by number of the bar, for every bar in which a part of the foreground is an instrument of
 * chords and sounds, or plays several notes at once; undefined where the tune rests in such a bar.
 */
export function tuneSpans(
  parts: readonly Part[],
  bars: readonly Bar[],
  slicesByBar: ReadonlyMap<number, readonly Slice[]>,
  front: readonly ReadonlySet<string>[],
  melody: readonly MelodyNote[],
): ReadonlyMap<number, Span | undefined> {
  const chordal = parts.map(isChordal);
  const spans = new Map<number, Span | undefined>();
  let next = 0;
  bars.forEach(({ number, startQuarters, lengthQuarters }, barIndex) => {
    const endQuarters = startQuarters + lengthQuarters;
    const inBar: number[] = [];
    // The melody is one line in order: what ends before the bar is done with.
    const ends = ({ startQuarters: from, lengthQuarters: length }: MelodyNote): number => from + length;
    for (let note = melody[next]; note !== undefined && ends(note) <= startQuarters + 1e-6; note = melody[next]) next++;
    for (let index = next; index < melody.length; index++) {
      const note = melody[index];
      if (note === undefined || note.startQuarters >= endQuarters - 1e-6) break;
      inBar.push(note.midi);
    }
    const isFront = (partIndex: number): boolean => front[barIndex]?.has(parts[partIndex]?.id ?? '') ?? false;
    const isOfChords = (slicesByBar.get(barIndex) ?? []).some(
      (slice) =>
        slice.sounding.some(({ partIndex }) => isFront(partIndex) && (chordal[partIndex] ?? false)) ||
        hasChord(slice, isFront),
    );
    if (!isOfChords) return;
    spans.set(number, inBar.length === 0 ? undefined : { low: Math.min(...inBar), high: Math.max(...inBar) });
  });
  return spans;
}
