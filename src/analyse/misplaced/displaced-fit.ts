/** How well the notes of a part belong to what the others play, in their own place or in another. */
import type { ClassBits, Moment } from './moments.ts';
import { bitOf, classCount, othersAt } from './moments.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';

/** Pitch classes of the others that make a harmony. */
const FEWEST_CLASSES = 3;

function has(classes: ClassBits, pitchClass: number): boolean {
  return (classes & bitOf(pitchClass)) !== 0;
}

/** By pitch class, those a second or a seventh from it. */
const GRINDING: readonly ClassBits[] = Array.from({ length: 12 }, (_, pitchClass) =>
  [1, 2, 10, 11].reduce((bits, interval) => bits | bitOf((pitchClass + interval) % 12), 0),
);

/** A second or a seventh from something that sounds: a tone that nobody else has may complete a chord, one beside another grinds. */
function grinds(pitchClass: number, others: ClassBits): boolean {
  return ((GRINDING[pitchClass] ?? 0) & others) !== 0;
}

/**
 * Share of the notes' time in which they belong, by `belongs`; a note for which that is undefined does not count. Undefined where none
 * counts.
 */
function shareOf(notes: readonly PlacedNote[], belongs: (note: PlacedNote) => boolean | undefined): number | undefined {
  let held = 0;
  let agreeing = 0;
  for (const note of notes) {
    const isOwn = belongs(note);
    if (isOwn === undefined) continue;
    const length = note.endQuarters - note.startQuarters;
    held += length;
    if (isOwn) agreeing += length;
  }
  return held === 0 ? undefined : agreeing / held;
}

/** Slowly moving harmony is heard over at least a quarter. */
function heardUntil({ startQuarters, endQuarters }: PlacedNote): number {
  return Math.max(endQuarters, startQuarters + 1);
}

/**
 * Share of the notes' time, in one bar, whose pitch class the others have in the same stretch moved by so many quarters; in its own
 * place what does not grind belongs too.
 */
export function fitMoments(
  notes: PlacedPart['notes'],
  partIndex: number,
  moments: readonly Moment[],
  shift: number,
): number | undefined {
  return shareOf(notes, (note) => {
    const [start, end] = [note.startQuarters, heardUntil(note)];
    const others = othersAt(moments, start + shift, end + shift, partIndex, true);
    if (classCount(others) < FEWEST_CLASSES) return undefined;
    if (has(others, note.midi % 12)) return true;
    // A tune has suspensions and passing notes: what rubs against it alone is no displacement.
    return shift === 0 && !grinds(note.midi % 12, othersAt(moments, start, end, partIndex, false));
  });
}

/** The same in its own place with every note so many semitones higher, beside two tones of the others and more. */
export function fitPitches(
  notes: PlacedPart['notes'],
  partIndex: number,
  moments: readonly Moment[],
  semitones: number,
): number | undefined {
  return shareOf(notes, (note) => {
    const others = othersAt(moments, note.startQuarters, heardUntil(note), partIndex, true);
    if (classCount(others) < FEWEST_CLASSES - 1) return undefined;
    return has(others, (note.midi + semitones + 120) % 12);
  });
}

/**
 * Share of the notes' time, moved by so many quarters, in which they are no tone of the others and a second or a seventh beside one of theirs.
 * Undefined where too few others sound.
 */
export function grindingShare(
  notes: PlacedPart['notes'],
  partIndex: number,
  moments: readonly Moment[],
  shift: number,
): number | undefined {
  return shareOf(notes, (note) => {
    const [from, to] = [note.startQuarters + shift, heardUntil(note) + shift];
    const others = othersAt(moments, from, to, partIndex, true);
    if (classCount(others) < FEWEST_CLASSES - 1) return undefined;
    return !has(others, note.midi % 12) && grinds(note.midi % 12, othersAt(moments, from, to, partIndex, false));
  });
}

/** What no other has and nothing rubs against may complete a chord, or not. */
const NEUTRAL = 0.5;

/**
 * Shares of the notes' time, in one bar moved by so many quarters, in which they are among two tones of the others and more, for the notes so many
 * semitones higher each; what no other has and does not grind counts half. Undefined where too few others sound.
 */
export function fitSteps(
  notes: PlacedPart['notes'],
  partIndex: number,
  moments: readonly Moment[],
  shift: number,
  steps: readonly number[],
): readonly number[] | undefined {
  let held = 0;
  const agreeing = steps.map(() => 0);
  for (const note of notes) {
    const [from, to] = [note.startQuarters + shift, heardUntil(note) + shift];
    const others = othersAt(moments, from, to, partIndex, true);
    if (classCount(others) < FEWEST_CLASSES - 1) continue;
    const besides = othersAt(moments, from, to, partIndex, false);
    const length = note.endQuarters - note.startQuarters;
    held += length;
    for (const [index, step] of steps.entries()) {
      const pitchClass = (note.midi + step + 120) % 12;
      const share = has(others, pitchClass) ? 1 : grinds(pitchClass, besides) ? 0 : NEUTRAL;
      agreeing[index] = (agreeing[index] ?? 0) + share * length;
    }
  }
  return held === 0 ? undefined : agreeing.map((sum) => sum / held);
}
