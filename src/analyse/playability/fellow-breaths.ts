/** Who breathes in the rhythm of another part that does not. */
import { instrumentById } from '../../model/music/catalogue.ts';
import { firstReaching, startingWithin } from '../../model/sorted-search.ts';
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

export interface BreathsMeanwhile {
  readonly fellows: readonly FellowBreaths[];
  /** They are those who have the same line, in unison or octaves, with written rests: nobody else shows it. */
  readonly areDoubles: boolean;
}

function within(notes: readonly PlacedNote[], from: number, to: number): readonly PlacedNote[] {
  return startingWithin(notes, from - TOGETHER_QUARTERS, to);
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

/** True where nearly all notes of one begin with one of the other of the same name, and the other has written rests where it breathes. */
function isDouble(notes: readonly PlacedNote[], others: readonly PlacedNote[], places: readonly number[]): boolean {
  const classes = (own: readonly PlacedNote[], pitchClass: number): readonly PlacedNote[] =>
    own.filter(({ midi }) => midi % OCTAVE === pitchClass);
  const alike = [...Array(OCTAVE).keys()].reduce((sum, pitchClass) => {
    const own = classes(notes, pitchClass);
    return sum + own.length * shareTogether(own, classes(others, pitchClass));
  }, 0);
  const areRests = places.every((place) => {
    const before = others[firstReaching(others, ({ startQuarters }) => startQuarters >= place) - 1];
    return before !== undefined && place - before.endQuarters >= REST_QUARTERS;
  });
  return areRests && alike >= SAME_RHYTHM * notes.length;
}
const OCTAVE = 12;
/** A written rest, and no note that is let go early. Our convention. */
const REST_QUARTERS = 0.45;

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
 * which breathes between, so that the ground does not go with the chord (common practice, no source). Who has the same line in unison or octaves, with
 * written rests, shows alone where its breaths are, of the bass too.
 */
export function fellowBreathsOf(
  own: PlacedPart,
  parts: readonly PlacedPart[],
  from: number,
  to: number,
): BreathsMeanwhile | undefined {
  const notes = within(own.notes, from, to);
  const found = parts.flatMap((other) => {
    if (other === own || other.part.players > 1 || other.part.family === 'voice') return [];
    if (instrumentById(other.part.instrument)?.breathSeconds === undefined) return [];
    const theirs = within(other.notes, from, to);
    const isSame = shareTogether(notes, theirs) >= SAME_RHYTHM && shareTogether(theirs, notes) >= SAME_RHYTHM;
    if (!isSame) return [];
    const places = gapsIn(theirs);
    return [{ fellow: { part: other.part, places, lowest: lowestOf(theirs) }, theirs }];
  });
  const fellows = found.map(({ fellow }) => fellow);
  if (fellows.some(({ places }) => places.length < FEWEST_GAPS || !isSpread(places, from, to))) return undefined;
  const isBass = fellows.every(({ lowest }) => lowest > lowestOf(notes));
  if (!isBass && fellows.length > 1) return { fellows, areDoubles: false };
  const doubles = found.flatMap(({ fellow, theirs }) => (isDouble(notes, theirs, fellow.places) ? [fellow] : []));
  return doubles.length > 0 ? { fellows: doubles, areDoubles: true } : undefined;
}
