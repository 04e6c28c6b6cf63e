/** How well the notes of a part belong to what the others play, in their own place or in another. */
import type { Moment } from './moments.ts';
import { firstAfter } from './moments.ts';
import type { PlacedPart } from './placed-notes.ts';

/** Pitch classes of the others that make a harmony. */
const FEWEST_CLASSES = 3;

/** Pitch classes of the other parts between two places, with or without who leads. */
function othersAt(
  moments: readonly Moment[],
  from: number,
  to: number,
  partIndex: number,
  withLead: boolean,
): ReadonlySet<number> {
  const classes = new Set<number>();
  for (let index = firstAfter(moments, from); index < moments.length; index++) {
    const moment = moments[index];
    if (moment === undefined || moment.startQuarters >= to - 1e-6) break;
    for (const [part, pitchClass, leads] of moment.classes) {
      if (part !== partIndex && (withLead || !leads)) classes.add(pitchClass);
    }
  }
  return classes;
}

/** A second or a seventh from something that sounds: a tone that nobody else has may complete a chord, one beside another grinds. */
function grinds(pitchClass: number, others: ReadonlySet<number>): boolean {
  return [1, 2, 10, 11].some((interval) => others.has((pitchClass + interval) % 12));
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
  let held = 0;
  let agreeing = 0;
  for (const { startQuarters, endQuarters, midi } of notes) {
    // Slowly moving harmony is heard over at least a quarter.
    const end = Math.max(endQuarters, startQuarters + 1);
    const others = othersAt(moments, startQuarters + shift, end + shift, partIndex, true);
    if (others.size < FEWEST_CLASSES) continue;
    const length = endQuarters - startQuarters;
    held += length;
    // A tune has suspensions and passing notes: what rubs against it alone is no displacement.
    const besides = othersAt(moments, startQuarters, end, partIndex, false);
    if (others.has(midi % 12) || (shift === 0 && !grinds(midi % 12, besides))) agreeing += length;
  }
  return held === 0 ? undefined : agreeing / held;
}

interface Span {
  readonly startQuarters: number;
  readonly lengthQuarters: number;
}

/**
 * The same for a bar as a whole, beside all that the others have in it or in another one: slow harmony in few parts is heard over
 * the bar. Two tones of the others say what grinds, not what belongs.
 */
export function fitBar(
  notes: PlacedPart['notes'],
  partIndex: number,
  moments: readonly Moment[],
  bar: Span,
  isHere: boolean,
): number | undefined {
  const others = othersAt(moments, bar.startQuarters, bar.startQuarters + bar.lengthQuarters, partIndex, true);
  if (others.size < FEWEST_CLASSES - 1) return undefined;
  const besides = othersAt(moments, bar.startQuarters, bar.startQuarters + bar.lengthQuarters, partIndex, false);
  let held = 0;
  let agreeing = 0;
  for (const { startQuarters, endQuarters, midi } of notes) {
    const length = endQuarters - startQuarters;
    held += length;
    if (others.has(midi % 12) || (isHere && !grinds(midi % 12, besides))) agreeing += length;
  }
  return held === 0 ? undefined : agreeing / held;
}

/** The same in its own place with every note so many semitones higher, beside two tones of the others and more. */
export function fitPitches(
  notes: PlacedPart['notes'],
  partIndex: number,
  moments: readonly Moment[],
  semitones: number,
): number | undefined {
  let held = 0;
  let agreeing = 0;
  for (const { startQuarters, endQuarters, midi } of notes) {
    const others = othersAt(moments, startQuarters, Math.max(endQuarters, startQuarters + 1), partIndex, true);
    if (others.size < FEWEST_CLASSES - 1) continue;
    held += endQuarters - startQuarters;
    if (others.has((midi + semitones + 120) % 12)) agreeing += endQuarters - startQuarters;
  }
  return held === 0 ? undefined : agreeing / held;
}
