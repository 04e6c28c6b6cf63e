/**
 * Strings that are left to ring. A hand on a guitar or a harp holds the shape of a chord while its strings are plucked one after another; what is
 * written is the figure, each string to the next one, and the bass for as long as it lasts (common practice, no source).
 */
import type { Part } from '../../model/music/arrangement.ts';
import { instrumentById } from '../../model/music/catalogue.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import type { PartGrid } from '../rhythm/quantised-part.ts';

/** As many strings, plucked one by one, ring together. */
const FEWEST_RINGING = 3;
/** On a harp, whose strings nothing stops by itself, so many in a row that each sound on over the next one are a figure, its lowest string too. */
const FEWEST_IN_A_ROW = 4;
/** What is let go within so much of a quarter after an onset does not ring through it. */
const LIFTED = 0.15;

interface Plucked {
  readonly index: number;
  readonly onset: number;
  readonly end: number;
  readonly midi: number;
  /** The onset after its own, in divisions. */
  readonly next: number | undefined;
  /** Plucked alone. */
  readonly isSingle: boolean;
}

/** Notes that ring on over a figure they belong to, by index, with the written end of each: where the next string is plucked. */
export function ringingNotes(part: Part, { onsets, ornaments }: PartGrid): ReadonlyMap<number, number> {
  const found = new Map<number, number>();
  if (part.family !== 'plucked' || instrumentById(part.instrument)?.polyphony.kind !== 'polyphonic') return found;
  const indices = part.notes.map((_, index) => index).filter((index) => !ornaments.unwritten.has(index));
  indices.sort((a, b) => (onsets[a] ?? 0) - (onsets[b] ?? 0));
  const notes = indices.map((index, at): Plucked => {
    const onset = onsets[index] ?? 0;
    const { midi = 60, startQuarters = 0, endQuarters = 0 } = part.notes[index] ?? {};
    const held = (endQuarters - startQuarters - LIFTED) * DIVISIONS_PER_QUARTER;
    const [before, after] = [onsets[indices[at - 1] ?? -1], onsets[indices[at + 1] ?? -1]];
    return { index, midi, onset, end: onset + held, next: after, isSingle: before !== onset && after !== onset };
  });
  const basses = new Set<number>();
  let ringing: Plucked[] = [];
  for (const [at, note] of notes.entries()) {
    ringing = ringing.filter(({ end }) => end > note.onset);
    if (!ringing.some(({ midi, onset }) => midi < note.midi && onset < note.onset) && isLowest(notes, at)) {
      basses.add(note.index);
    }
    ringing.push(note);
    const singles = ringing.filter(({ isSingle }) => isSingle);
    if (singles.length < FEWEST_RINGING) continue;
    for (const { index, next } of singles) {
      if (!basses.has(index) && next !== undefined) found.set(index, next);
    }
  }
  if (part.instrument === 'harp') for (const [index, end] of figuresOfHarp(notes)) found.set(index, end);
  return found;
}

/** Ends of strings plucked one by one that each ring over the next one, and not over two: where the next one is plucked; the last as the one before. */
function figuresOfHarp(notes: readonly Plucked[]): Map<number, number> {
  const ends = new Map<number, number>();
  for (let from = 0; from < notes.length;) {
    let to = from;
    while (to < notes.length && ringsOver(notes, to)) to++;
    if (to - from >= FEWEST_IN_A_ROW) {
      for (const { index, next = 0 } of notes.slice(from, to)) ends.set(index, next);
      const [before, last] = [notes[to - 1] as Plucked, notes[to] as Plucked];
      const step = last.onset - before.onset;
      if (last.isSingle && last.end > last.onset + step && last.end <= last.onset + 2 * step) {
        ends.set(last.index, Math.min(last.onset + step, last.next ?? Infinity));
      }
    }
    from = Math.max(to, from + 1);
  }
  return ends;
}

function ringsOver(notes: readonly Plucked[], at: number): boolean {
  const { end, next, isSingle } = notes[at] as Plucked;
  return isSingle && next !== undefined && next < end && end <= (notes[at + 1]?.next ?? Infinity);
}

/** Whether nothing lower is plucked with a note or while it sounds. */
function isLowest(notes: readonly Plucked[], at: number): boolean {
  const { onset, end, midi } = notes[at] as Plucked;
  for (let other = at - 1; notes[other]?.onset === onset; other--)
    if ((notes[other]?.midi ?? midi) < midi) return false;
  for (let other = at + 1; (notes[other]?.onset ?? Infinity) < end; other++) {
    if ((notes[other]?.midi ?? midi) < midi) return false;
  }
  return true;
}
