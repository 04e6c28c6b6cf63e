/**
 * Notes that only read otherwise: at another tempo or in other company the same strokes may be read as a tremolo, as small notes or one by one.
 * What stands tick for tick where it stood was not changed, however it reads; that is looked for where notes came or went, and nowhere else.
 */
import type { Part, PlayedNote } from '../../../model/music/arrangement.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import { firstReaching } from '../../../model/sorted-search.ts';
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
    for (let at = firstReaching(notes, ({ startQuarters }) => startQuarters >= from); at < notes.length; at++) {
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

/** True where the key of a note is struck in both stages at one place, in quarters of the later one, in the bar of the note. */
function isStruckInBoth({ bar, midi, part }: BarNote, at: number, sides: StrokeSides): boolean {
  const { before, after, barsBefore, barsAfter, beforeOf, shiftOf } = sides;
  const [later, earlier] = [barsAfter[bar], barsBefore[beforeOf[bar] ?? -1]];
  if (later === undefined || earlier === undefined) return false;
  const then = at - later.startQuarters + earlier.startQuarters;
  const raised = part.unpitched ? 0 : shiftOf(bar);
  return (
    strokesIn(after, midi, { from: at - SAME_QUARTERS, to: at + SAME_QUARTERS }).length > 0 &&
    strokesIn(before, midi - raised, { from: then - SAME_QUARTERS, to: then + SAME_QUARTERS }).length > 0
  );
}

/** True where the strokes of a note's key, from its own on to its written end, stand tick for tick in both stages. */
function hasSameStrokes(note: BarNote, sides: StrokeSides): boolean {
  const { before, after, barsBefore, barsAfter, beforeOf, shiftOf } = sides;
  const place = barsAfter[note.bar];
  if (place === undefined || note.playedOnset === undefined) return false;
  const own = place.startQuarters + note.playedOnset;
  // Most notes that came or went have no stroke at their tick in the other stage: asked first.
  if (!isStruckInBoth(note, own, sides)) return false;
  const end = Math.max(own, (note.start + note.length) / DIVISIONS_PER_QUARTER);
  return barsUnder(barsAfter, note.start, note.start + note.length).every((bar) => {
    const [later, earlier] = [barsAfter[bar], barsBefore[beforeOf[bar] ?? -1]];
    if (later === undefined || earlier === undefined) return false;
    const isFirst = bar === note.bar;
    const from = (isFirst ? own : later.startQuarters) - SAME_QUARTERS;
    const to = Math.max(Math.min(end, later.startQuarters + later.lengthQuarters), isFirst ? own : -Infinity);
    const apart = later.startQuarters - earlier.startQuarters;
    const isPitched = !note.part.unpitched;
    const news = strokesIn(after, note.midi, { from, to: to === own ? own + SAME_QUARTERS : to - SAME_QUARTERS });
    const olds = strokesIn(before, note.midi - (isPitched ? shiftOf(bar) : 0), {
      from: from - apart,
      to: (to === own ? own + SAME_QUARTERS : to - SAME_QUARTERS) - apart,
    });
    return (!isFirst || olds.length > 0) && areAmong(olds, news, apart) && areAmong(news, olds, -apart);
  });
}

/** The match without notes that came or went only in how the same strokes are read. */
export function withoutReadings(match: NoteMatch, sides: StrokeSides): NoteMatch {
  if (match.lost.length + match.gained.length === 0) return match;
  const isReread = new Set([...match.lost, ...match.gained].filter((note) => hasSameStrokes(note, sides)));
  if (isReread.size === 0) return match;
  const [lost, gained] = [match.lost, match.gained].map((notes) => notes.filter((note) => !isReread.has(note)));
  return { ...match, lost: lost ?? [], gained: gained ?? [], reread: [...isReread] };
}
