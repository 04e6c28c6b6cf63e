/**
 * Small notes before a main note. A short note that leads at once into a longer one may be a small note or a short value of the rhythm:
 * it is taken for rhythm where it keeps the time of that value, for the one note or for all such notes of the part together.
 */
import type { Part, PlayedNote } from '../../model/music/arrangement.ts';
import type { StreamReading } from './found-ornaments.ts';

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
/** A note this far off its value may be one of the small notes of the part. */
const DOUBTFUL_STEP = 1.5;
/** A thirty-second and shorter. */
const SHORT_VALUE = 60;
/** Values that are taken for rhythm where they keep time; what is shorter and stands free is a small note. */
const VALUES: readonly number[] = [60, 120];
/** In slow music a sixty-fourth is a value too: from so many milliseconds on. */
const SIXTY_FOURTH = 30;
const LEAST_VALUE_MS = 80;
/** Share of itself by which such a value may slip. */
const SLIPS = 0.45;
/**
 * Small notes of a part are struck alike before their main notes, whatever the tempo, values keep the time of the beat: which of both explains all of
 * them better is asked from so many on, in nats; what small notes must gain, and the most that one of them counts.
 */
const FEWEST_ALIKE = 3;
const SMALL_NOTES_COST = 4;
const SMALL_NOTE_COST = 0.3;
const MOST_SAID = 4;
/** Longer than this small notes are not struck, on the whole. */
const LONGEST_ALIKE_MS = 100;
/** Let go by then, a note is no tone of the chord that follows it. */
const LET_GO_MS = 10;
/** Reading a value before them that needs a tie; least spread of small notes, in ms and beside that of the rhythm. */
const TIED_COST = 0.7;
const LEAST_ALIKE_MS = 8.5;
const LEAST_ALIKE = 0.4;
const ALIKE_REACH = 3;
/** Values of one figure, dots included, that a short note follows. */
const ONE_FIGURE = new Set([60, 90, 105, 120, 180, 210, 240, 360, 420, 480, 720, 840]);

interface Candidate {
  readonly note: number;
  readonly main: number;
  /** How far its lead is from the written value, in standard deviations; undefined where no plain value is written. */
  readonly outOfStep: number | undefined;
  readonly isShort: boolean;
  /** Milliseconds to the note that it leads to, and the standard deviation of a written value. */
  readonly lead: number;
  readonly spread: number;
  /** As rhythm, the value before it would be tied. */
  readonly needsTie: boolean;
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
        const before = order[place + step - 1];
        const notes = {
          note: order[place + step] ?? 0,
          next: order[place + step + 1] ?? 0,
          main: order[place + size] ?? 0,
        };
        candidates.push(candidateOf(part, stream, before === undefined ? notes : { ...notes, before }));
      }
      place += size - 1;
      break;
    }
  }
  const inStep = candidates.flatMap((item) => (item.isShort && item.outOfStep !== undefined ? [item.outOfStep] : []));
  const mean = inStep.reduce((sum, off) => sum + off, 0) / Math.max(1, inStep.length);
  const allOut = Math.abs(mean) * Math.sqrt(inStep.length) > ALL_OUT_OF_STEP;
  const alike = struckAlike(candidates);
  return new Map(
    candidates
      .filter((item) => {
        const { outOfStep, isShort } = item;
        if (outOfStep === undefined || Math.abs(outOfStep) > ONE_OUT_OF_STEP) return true;
        return (isShort && allOut) || alike.has(item);
      })
      .map(({ note, main }) => [note, main]),
  );
}

function medianOf(numbers: readonly number[]): number {
  return [...numbers].sort((a, b) => a - b)[numbers.length >> 1] ?? 0;
}

/** Notes that are better explained as small notes struck alike than as values; none where the part has no such notes. */
function struckAlike(candidates: readonly Candidate[]): ReadonlySet<Candidate> {
  const doubtful = candidates.filter(
    ({ isShort, outOfStep }) => isShort || outOfStep === undefined || Math.abs(outOfStep) > DOUBTFUL_STEP,
  );
  if (doubtful.length < FEWEST_ALIKE) return new Set();
  const centre = medianOf(doubtful.map(({ lead }) => lead));
  if (centre > LONGEST_ALIKE_MS) return new Set();
  const measured = 1.4826 * medianOf(doubtful.map(({ lead }) => Math.abs(lead - centre)));
  let gain = -SMALL_NOTES_COST;
  for (const { outOfStep, lead, spread, needsTie } of doubtful) {
    if (outOfStep === undefined) continue;
    const own = Math.max(LEAST_ALIKE_MS, LEAST_ALIKE * spread, measured);
    const off = (lead - centre) / own;
    const said =
      (outOfStep * outOfStep - off * off) / 2 + Math.log(spread / own) + (needsTie ? TIED_COST : 0) - SMALL_NOTE_COST;
    gain += Math.max(-MOST_SAID, Math.min(MOST_SAID, said));
  }
  if (gain <= 0) return new Set();
  return new Set(
    doubtful.filter(
      ({ lead, spread }) =>
        Math.abs(lead - centre) < ALIKE_REACH * Math.max(LEAST_ALIKE_MS, LEAST_ALIKE * spread, measured),
    ),
  );
}

function candidateOf(
  part: Part,
  stream: StreamReading,
  { before, note, next, main }: Readonly<Record<'note' | 'next' | 'main', number>> & { readonly before?: number },
): Candidate {
  const from = stream.positions[note] ?? 0;
  const step = (stream.positions[next] ?? 0) - from;
  const scale = stream.millisecondsPerDivision(from);
  const lead = leadMs(part.notes[note] as PlayedNote, part.notes[next] as PlayedNote);
  const spread = Math.SQRT2 * Math.max(6, stream.spreadMs);
  const needsTie = before !== undefined && !ONE_FIGURE.has(from - (stream.positions[before] ?? 0));
  const about = { note, main, lead, spread, needsTie };
  // Written at one place with its main note: a chord that scattered, unless it came clearly before or was let go.
  const overlapMs = ((part.notes[note] as PlayedNote).endSecond - (part.notes[next] as PlayedNote).startSecond) * 1000;
  if (step === 0 && lead < 2 * spread && overlapMs > LET_GO_MS) return { ...about, outOfStep: 0, isShort: false };
  const shortestMs = SIXTY_FOURTH * scale;
  if (shortestMs >= LEAST_VALUE_MS && step <= SIXTY_FOURTH && Math.abs(lead - shortestMs) < SLIPS * shortestMs) {
    const off = (lead - shortestMs) / spread;
    return { ...about, outOfStep: Math.max(-ONE_OUT_OF_STEP, Math.min(ONE_OUT_OF_STEP, off)), isShort: true };
  }
  return {
    ...about,
    outOfStep: VALUES.includes(step) ? (lead - step * scale) / spread : step > SHORT_VALUE ? 0 : undefined,
    isShort: step <= SHORT_VALUE,
  };
}
