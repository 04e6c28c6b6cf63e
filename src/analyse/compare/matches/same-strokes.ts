/**
 * Notes that only read otherwise: at another tempo or in other company the same strokes may be read as a tremolo, as small notes or one by one.
 * What stands tick for tick where it stood was not changed, however it reads; that is looked for where notes came or went, and nowhere else.
 */
import type { Part, PlayedNote } from '../../../model/music/arrangement.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import { firstStartingAt } from '../../../model/sorted-search.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import type { BarNote } from '../bars/bar-notes.ts';
import type { NoteMatch } from './match-notes.ts';
import { barsUnder } from './part-sides.ts';

/** Half a tick of the coarsest usual resolution, 96 to a quarter: two files of the same notes may count by other ticks. */
const SAME_QUARTERS = 1 / 192;

/** A line in both stages: who plays it, and how the bars of one lie in the other. */
export interface StrokeSides {
  readonly before: readonly Part[];
  readonly after: readonly Part[];
  /** Of the earlier stage, between the bar lines of which the later one is compared. */
  readonly barsBefore: readonly Bar[];
  readonly barsAfter: readonly Bar[];
  readonly beforeOf: readonly number[];
  /** Interval by which a bar of the later stage, given by index, sounds higher than it did. */
  readonly shiftOf: (bar: number) => number;
}

/** A stretch of time, in quarters. */
interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** The strokes of a key that begin in a stretch. */
function strokesIn(parts: readonly Part[], midi: number, { from, to }: Stretch): readonly PlayedNote[] {
  const found: PlayedNote[] = [];
  for (const { notes } of parts) {
    for (let at = firstStartingAt(notes, from); at < notes.length; at++) {
      const note = notes[at];
      if (note === undefined || note.startQuarters >= to) break;
      if (note.midi === midi) found.push(note);
    }
  }
  return found;
}

/** True where each stroke has one that begins and ends with it, so many quarters away, among others. */
function areAmong(some: readonly PlayedNote[], others: readonly PlayedNote[], apart: number): boolean {
  return some.every((one) =>
    others.some(
      (other) =>
        Math.abs(other.startQuarters - one.startQuarters - apart) < SAME_QUARTERS &&
        Math.abs(other.endQuarters - one.endQuarters - apart) < SAME_QUARTERS,
    ),
  );
}

/** The strokes of a note's key in both stages that begin in a stretch of a bar, in quarters of the later one; undefined where that bar is not in both. */
function strokesOfBoth(
  { midi, part }: BarNote,
  bar: number,
  { from, to }: Stretch,
  { before, after, barsBefore, barsAfter, beforeOf, shiftOf }: StrokeSides,
): { readonly olds: readonly PlayedNote[]; readonly news: readonly PlayedNote[]; readonly apart: number } | undefined {
  const [later, earlier] = [barsAfter[bar], barsBefore[beforeOf[bar] ?? -1]];
  if (later === undefined || earlier === undefined) return undefined;
  const apart = later.startQuarters - earlier.startQuarters;
  const raised = part.unpitched ? 0 : shiftOf(bar);
  return {
    olds: strokesIn(before, midi - raised, { from: from - apart, to: to - apart }),
    news: strokesIn(after, midi, { from, to }),
    apart,
  };
}

/** True where the strokes of a note's key, from its own on to its written end, stand tick for tick in both stages. */
function hasSameStrokes(note: BarNote, sides: StrokeSides): boolean {
  const { barsAfter } = sides;
  const place = barsAfter[note.bar];
  if (place === undefined || note.playedOnset === undefined) return false;
  const own = place.startQuarters + note.playedOnset;
  const end = Math.max(own, (note.start + note.length) / DIVISIONS_PER_QUARTER);
  return barsUnder(barsAfter, note.start, note.start + note.length).every((bar) => {
    const { startQuarters = 0, lengthQuarters = 0 } = barsAfter[bar] ?? {};
    const isFirst = bar === note.bar;
    const last = Math.max(Math.min(end, startQuarters + lengthQuarters), isFirst ? own : -Infinity);
    const from = (isFirst ? own : startQuarters) - SAME_QUARTERS;
    const to = last === own ? own + SAME_QUARTERS : last - SAME_QUARTERS;
    const both = strokesOfBoth(note, bar, { from, to }, sides);
    if (both === undefined || (isFirst && both.olds.length === 0)) return false;
    const { olds, news, apart } = both;
    return areAmong(olds, news, apart) && areAmong(news, olds, -apart);
  });
}

/** True where a key is struck within half a tick of a place of the later stage's, in quarters; the strokes stand so many quarters earlier. */
function isStruckAt(parts: readonly Part[], midi: number, place: number, apart: number): boolean {
  const to = place + SAME_QUARTERS - apart;
  for (let each = 0; each < parts.length; each++) {
    const notes = parts[each]?.notes ?? [];
    for (let at = firstStartingAt(notes, place - SAME_QUARTERS - apart); at < notes.length; at++) {
      const note = notes[at];
      if (note === undefined || note.startQuarters >= to) break;
      if (note.midi === midi) return true;
    }
  }
  return false;
}

/** True where a note that came, or went, has a stroke at its tick in the other stage: most have none. */
function isStruckBeside({ part, midi, bar, playedOnset }: BarNote, isLost: boolean, sides: StrokeSides): boolean {
  const later = sides.barsAfter[bar];
  const earlier = sides.barsBefore[sides.beforeOf[bar] ?? -1];
  if (later === undefined || earlier === undefined || playedOnset === undefined) return false;
  const own = later.startQuarters + playedOnset;
  if (isLost) return isStruckAt(sides.after, midi, own, 0);
  const raised = part.unpitched ? 0 : sides.shiftOf(bar);
  return isStruckAt(sides.before, midi - raised, own, later.startQuarters - earlier.startQuarters);
}

/** The match without notes that came or went only in how the same strokes are read. */
export function withoutReadings(match: NoteMatch, sides: StrokeSides): NoteMatch {
  const areReread = (notes: readonly BarNote[], isLost: boolean): readonly BarNote[] =>
    notes.filter((note) => isStruckBeside(note, isLost, sides) && hasSameStrokes(note, sides));
  const isReread = new Set([...areReread(match.lost, true), ...areReread(match.gained, false)]);
  if (isReread.size === 0) return match;
  const [lost, gained] = [match.lost, match.gained].map((notes) => notes.filter((note) => !isReread.has(note)));
  return { ...match, lost: lost ?? [], gained: gained ?? [], reread: [...isReread] };
}
