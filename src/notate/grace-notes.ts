/**
 * Small notes before a main note. A short note that leads at once into a longer one may be a small note or a short value of the rhythm:
 * it is taken for rhythm where it keeps the time of that value, for the one note or for all such notes of the part together.
 */
import type { Part, PlayedNote } from '../model/arrangement.ts';
import type { StreamReading } from './ornaments.ts';

/** How long before its main note a small note may begin, and how short it is held (common practice, no source). */
const SHORTEST_LEAD_MS = 25;
const LONGEST_LEAD_MS = 130;
const LONGEST_HELD_MS = 170;
const LATEST_END_MS = 40;
const WIDEST = 12;
const MOST_TOGETHER = 3;
/** The main note lasts, and the time before the small note is, at least so many times its lead. */
const MAIN_LONGER = 2.2;
const STANDS_FREE = 1.8;
/** Standard deviations from the written value that make one note, or all together, a small note. */
const ONE_OUT_OF_STEP = 3;
const ALL_OUT_OF_STEP = 3;
/** A thirty-second and shorter. */
const SHORT_VALUE = 60;
/** Values that are taken for rhythm where they keep time; a sixty-fourth or less that stands free is a small note. */
const VALUES: readonly number[] = [60, 120];

interface Candidate {
  readonly note: number;
  readonly main: number;
  /** How far its lead is from the written value, in standard deviations; undefined where no plain value is written. */
  readonly outOfStep: number | undefined;
  readonly isShort: boolean;
}

function leadMs(before: PlayedNote, after: PlayedNote): number {
  return (after.startSecond - before.startSecond) * 1000;
}

function isCandidate(
  note: PlayedNote,
  next: PlayedNote,
  previous: PlayedNote | undefined,
  afterNext: PlayedNote | undefined,
): boolean {
  const lead = leadMs(note, next);
  if (lead < SHORTEST_LEAD_MS || lead > LONGEST_LEAD_MS) return false;
  if (note.midi === next.midi || Math.abs(note.midi - next.midi) > WIDEST) return false;
  if ((note.endSecond - note.startSecond) * 1000 > LONGEST_HELD_MS) return false;
  if ((note.endSecond - next.startSecond) * 1000 > LATEST_END_MS) return false;
  if ((next.endSecond - next.startSecond) * 1000 < MAIN_LONGER * lead) return false;
  if (previous !== undefined && leadMs(previous, note) < STANDS_FREE * lead) return false;
  // Another note of the main note's chord may follow it closely.
  if (afterNext === undefined) return true;
  const following = leadMs(next, afterNext);
  return following >= STANDS_FREE * lead || afterNext.endSecond - afterNext.startSecond >= (MAIN_LONGER * lead) / 1000;
}

/** The main note of each small note of a stream. */
export function findGraces(part: Part, stream: StreamReading, taken: ReadonlySet<number>): Map<number, number> {
  const order = stream.notes.filter((index) => !taken.has(index));
  const at = (place: number): PlayedNote | undefined => part.notes[order[place] ?? -1];
  const candidates: Candidate[] = [];
  for (let place = 0; place + 1 < order.length; place++) {
    // Up to three small notes lead to one main note.
    for (let size = 1; size <= MOST_TOGETHER && place + size < order.length; size++) {
      const last = at(place + size - 1) as PlayedNote;
      const main = at(place + size) as PlayedNote;
      const even = Array.from({ length: size - 1 }, (_, step) =>
        leadMs(at(place + step) as PlayedNote, at(place + step + 1) as PlayedNote),
      );
      if (even.some((gap) => gap < SHORTEST_LEAD_MS || gap > LONGEST_LEAD_MS)) break;
      const previous = size === 1 ? at(place - 1) : undefined;
      if (!isCandidate(last, main, previous, at(place + size + 1))) continue;
      if (size > 1 && at(place - 1) !== undefined) {
        const before = leadMs(at(place - 1) as PlayedNote, at(place) as PlayedNote);
        if (before < STANDS_FREE * Math.max(leadMs(last, main), ...even)) continue;
      }
      for (let step = 0; step < size; step++) {
        candidates.push(
          candidateOf(part, stream, order[place + step] ?? 0, order[place + step + 1] ?? 0, order[place + size] ?? 0),
        );
      }
      place += size - 1;
      break;
    }
  }
  const inStep = candidates.flatMap((item) => (item.isShort && item.outOfStep !== undefined ? [item.outOfStep] : []));
  const mean = inStep.reduce((sum, off) => sum + off, 0) / Math.max(1, inStep.length);
  const allOut = Math.abs(mean) * Math.sqrt(inStep.length) > ALL_OUT_OF_STEP;
  return new Map(
    candidates
      .filter(({ outOfStep, isShort }) =>
        outOfStep === undefined ? true : Math.abs(outOfStep) > ONE_OUT_OF_STEP || (isShort && allOut),
      )
      .map(({ note, main }) => [note, main]),
  );
}

function candidateOf(part: Part, stream: StreamReading, note: number, next: number, main: number): Candidate {
  const from = stream.positions[note] ?? 0;
  const step = (stream.positions[next] ?? 0) - from;
  const scale = stream.millisecondsPerDivision(from);
  const lead = leadMs(part.notes[note] as PlayedNote, part.notes[next] as PlayedNote);
  const spread = Math.SQRT2 * Math.max(6, stream.spreadMs);
  const plain = VALUES.includes(step);
  // Written at one place with its main note: a chord that scattered, unless it came clearly before.
  if (step === 0 && lead < 2 * spread) return { note, main, outOfStep: 0, isShort: false };
  return {
    note,
    main,
    outOfStep: plain ? (lead - step * scale) / spread : step > SHORT_VALUE ? 0 : undefined,
    isShort: step <= SHORT_VALUE,
  };
}
