/** Who breathes in the rhythm of another part that does not. */
import { instrumentById } from '../../model/music/catalogue.ts';
import { firstReaching } from '../../model/sorted-search.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';

/** Shorter than this no breath is caught. From memory. */
export const CATCH_SECONDS = 0.25;
/** Parts have one rhythm where nearly all notes of each begin with one of the other. Our convention. */
const SAME_RHYTHM = 0.85;
const TOGETHER_QUARTERS = 0.05;
/** So many breaths show where they belong, where none goes on for more than this share of the stretch without one. Our conventions. */
const FEWEST_GAPS = 2;
const LONGEST_SHARE = 0.5;

export interface FellowBreaths {
  readonly part: PlacedPart['part'];
  /** Where they breathe: the written ends of the notes before, in quarters. */
  readonly places: readonly number[];
  /** Their lowest note there. */
  readonly lowest: number;
}

function within(notes: readonly PlacedNote[], from: number, to: number): readonly PlacedNote[] {
  const first = firstReaching(notes, ({ startQuarters }) => startQuarters >= from - TOGETHER_QUARTERS);
  return notes.slice(
    first,
    firstReaching(notes, ({ startQuarters }) => startQuarters >= to),
  );
}

/** Share of the notes that begin with one of the others. */
function shareTogether(notes: readonly PlacedNote[], others: readonly PlacedNote[]): number {
  const starts = Float64Array.from(others, ({ startQuarters }) => startQuarters).sort();
  const together = notes.filter(({ startQuarters }) => {
    const next = firstReaching(starts, (start) => start >= startQuarters);
    // The nearest is the next one or the one before it.
    return [starts[next - 1], starts[next]].some(
      (start) => start !== undefined && Math.abs(start - startQuarters) <= TOGETHER_QUARTERS,
    );
  });
  return notes.length === 0 ? 0 : together.length / notes.length;
}

/** Whether breaths are caught all along a stretch, and not at its end alone. */
function isSpread(places: readonly number[], from: number, to: number): boolean {
  const marks = [from, ...places, to];
  return marks.every((mark, index) => mark - (marks[index - 1] ?? mark) <= LONGEST_SHARE * (to - from) + 1e-6);
}

function lowestOf(notes: readonly PlacedNote[]): number {
  return Math.min(...notes.map(({ midi }) => midi));
}

/** Gaps between notes, as performed, in which a breath is caught: the places of the notes that follow. */
function gapsIn(notes: readonly PlacedNote[]): readonly number[] {
  let end: number | undefined;
  return notes.flatMap((note) => {
    const { startSecond, endSecond } = note.played;
    const isGap = end !== undefined && startSecond - end >= CATCH_SECONDS;
    end = Math.max(end ?? 0, endSecond);
    return isGap ? [note.startQuarters] : [];
  });
}

/**
 * Of a stretch of a part (quarters `from` to `to`) the other parts of one wind player each that go on in its rhythm: those who breathe in it, twice and
 * more, and all along it. Undefined where there are fewer than two such parts, or one of them goes on without a breath too: then it is how they are written; nor for the bass of them all,
 * which breathes between, so that the ground does not go with the chord (common practice, no source).
 */
export function fellowBreathsOf(
  own: PlacedPart,
  parts: readonly PlacedPart[],
  from: number,
  to: number,
): readonly FellowBreaths[] | undefined {
  const notes = within(own.notes, from, to);
  const fellows = parts.flatMap((other): FellowBreaths[] => {
    if (other === own || other.part.players > 1 || other.part.family === 'voice') return [];
    if (instrumentById(other.part.instrument)?.breathSeconds === undefined) return [];
    const theirs = within(other.notes, from, to);
    const isSame = shareTogether(notes, theirs) >= SAME_RHYTHM && shareTogether(theirs, notes) >= SAME_RHYTHM;
    return isSame ? [{ part: other.part, places: gapsIn(theirs), lowest: lowestOf(theirs) }] : [];
  });
  const isBass = fellows.every(({ lowest }) => lowest > lowestOf(notes));
  return isBass ||
    fellows.length < 2 ||
    fellows.some(({ places }) => places.length < FEWEST_GAPS || !isSpread(places, from, to))
    ? undefined
    : fellows;
}
