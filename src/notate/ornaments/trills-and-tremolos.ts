/** Trills and unmeasured tremolos: one key, or two by turns, faster than can be counted and not in step with the beat. */
import type { Part, PlayedNote } from '../../model/music/arrangement.ts';
import type { Family } from '../../model/music/instrument.ts';
import type { TrillOrTremolo, StreamReading } from './found-ornaments.ts';

const FEWEST = 6;
/** Slower than this is heard as notes (common practice, no source). */
const SLOWEST_MS = 115;
const LONGEST_GAP_MS = 170;
const TRILL_STEP = 2;
/** Values that can be counted, in divisions. */
const COUNTABLE = [30, 40, 60, 80, 96, 120, 160, 240] as const;
/** The mean of a run may lie this share from a value, beside what its scatter allows. */
const IN_STEP = 0.02;

function gapMs(before: PlayedNote, after: PlayedNote): number {
  return (after.startSecond - before.startSecond) * 1000;
}

/** End (excluded) of the run that begins at `from`: each key is that of the note two before it, and follows at once. */
function runEnd(notes: readonly PlayedNote[], from: number): number {
  let to = from + 1;
  for (; to < notes.length; to++) {
    const here = notes[to] as PlayedNote;
    const before = notes[to - 1] as PlayedNote;
    const twoBefore = to - 2 >= from ? notes[to - 2] : undefined;
    if (gapMs(before, here) > LONGEST_GAP_MS || gapMs(before, here) < 15) break;
    if (twoBefore !== undefined && twoBefore.midi !== here.midi) break;
  }
  return to;
}

/** Whether the notes keep step with a value that can be written. */
function isCountable(meanMs: number, count: number, spreadMs: number, millisecondsPerDivision: number): boolean {
  // The mean of n gaps is off by the errors of the first and the last note only.
  const scatter = (2.5 * Math.SQRT2 * spreadMs) / (count - 1);
  return COUNTABLE.some((divisions) => {
    const stepMs = divisions * millisecondsPerDivision;
    return Math.abs(meanMs - stepMs) <= scatter + IN_STEP * stepMs;
  });
}

/**
 * In playing as exact as this (entered, or quantised) an uneven run keeps step too, where every gap is that of the values it was read with. Looser playing
 * fits a trill to some values by chance.
 */
const EXACT_MS = 5;
const GAPS_FIT = 1.05;
const LEAST_SPREAD_MS = 4;

function isReadAsRhythm(notes: readonly PlayedNote[], positions: readonly number[], stream: StreamReading): boolean {
  if (stream.spreadMs > EXACT_MS) return false;
  const scale = stream.millisecondsPerDivision(positions[0] ?? 0);
  let squares = 0;
  for (let at = 1; at < notes.length; at++) {
    const step = (positions[at] ?? 0) - (positions[at - 1] ?? 0);
    if (!COUNTABLE.some((divisions) => divisions === step)) return false;
    squares += (gapMs(notes[at - 1] as PlayedNote, notes[at] as PlayedNote) - step * scale) ** 2;
  }
  const spread = Math.sqrt(squares / Math.max(1, notes.length - 1));
  return spread <= GAPS_FIT * Math.SQRT2 * Math.max(LEAST_SPREAD_MS, stream.spreadMs);
}

/**
 * One key struck again and again in less than these ms, at least a quarter long and in values shorter than a sixteenth, is a roll or an unmeasured
 * tremolo however evenly it was entered: what is struck and plucked from some ten strokes a second, bowed from twelve (common practice, no source).
 * Who blows or sings tongues every note: that stays written out, and is judged as it is.
 */
const ROLL_MS: Readonly<Partial<Record<Family, number>>> = { percussion: 100, plucked: 100, strings: 84 };
const SHORTER_THAN = 100;
const LEAST_ROLL = 480;

/** Who rolls in these values rolls on where the tempo gives way: by so much slower, in values that are so much alike. */
const GIVING_WAY = 1.5;
const SAME_VALUE = 0.12;

/** `rolled`: in what values, in divisions, the part rolls elsewhere. */
function isRoll(
  { family }: Part,
  count: number,
  meanMs: number,
  millisecondsPerDivision: number,
  rolled: readonly number[] = [],
): boolean {
  const divisions = meanMs / millisecondsPerDivision;
  const isKnown = rolled.some((value) => Math.abs(divisions / value - 1) <= SAME_VALUE);
  return (
    meanMs <= (ROLL_MS[family] ?? 0) * (isKnown ? GIVING_WAY : 1) &&
    divisions < SHORTER_THAN &&
    // Of so many strokes the last is as long as the others, give or take a little.
    (count + 0.5) * divisions >= LEAST_ROLL
  );
}

/** Last notes of a trill that turn to what follows: one or two, as fast, near the main note. */
function endingAfter(notes: readonly PlayedNote[], to: number, main: number, meanMs: number): number {
  let end = to;
  while (end < Math.min(notes.length, to + 2)) {
    const here = notes[end] as PlayedNote;
    if (gapMs(notes[end - 1] as PlayedNote, here) > 1.3 * meanMs || Math.abs(here.midi - main) > TRILL_STEP) break;
    if ((here.endSecond - here.startSecond) * 1000 > 1.6 * meanMs) break;
    end++;
  }
  return end;
}

interface Run {
  /** End of it, excluded. */
  readonly to: number;
  readonly count: number;
  readonly meanMs: number;
  readonly millisecondsPerDivision: number;
  /** True where one key is struck again and again. */
  readonly isOfOneKey: boolean;
}

function runAt(notes: readonly PlayedNote[], from: number, stream: StreamReading): Run {
  const to = runEnd(notes, from);
  const count = to - from;
  const first = notes[from] as PlayedNote;
  const last = notes[to - 1] as PlayedNote;
  return {
    to,
    count,
    meanMs: count < 2 ? Infinity : gapMs(first, last) / (count - 1),
    millisecondsPerDivision: stream.millisecondsPerDivision(stream.positions[stream.notes[from] ?? 0] ?? 0),
    isOfOneKey: first.midi === notes[from + 1]?.midi,
  };
}

/** The values, in divisions, in which a part plainly rolls. */
function rolledValues(part: Part, notes: readonly PlayedNote[], stream: StreamReading): readonly number[] {
  const values: number[] = [];
  for (let from = 0; from + FEWEST <= notes.length;) {
    const { to, count, meanMs, millisecondsPerDivision: scale, isOfOneKey } = runAt(notes, from, stream);
    if (count >= FEWEST && isOfOneKey && isRoll(part, count, meanMs, scale)) values.push(meanMs / scale);
    from = count > 2 ? to - 1 : from + 1;
  }
  return values;
}

/** Trills and tremolos of one stream. */
export function findTrillsAndTremolos(part: Part, stream: StreamReading): TrillOrTremolo[] {
  const notes = stream.notes.map((index) => part.notes[index] as PlayedNote);
  const found: TrillOrTremolo[] = [];
  const rolled = rolledValues(part, notes, stream);
  for (let from = 0; from + FEWEST <= notes.length;) {
    const { to, count, meanMs, millisecondsPerDivision: scale, isOfOneKey } = runAt(notes, from, stream);
    const first = notes[from] as PlayedNote;
    const second = notes[from + 1] as PlayedNote;
    const places = stream.notes.slice(from, to).map((note) => stream.positions[note] ?? 0);
    const isRolled = isOfOneKey && isRoll(part, count, meanMs, scale, rolled);
    if (
      count < FEWEST ||
      (!isRolled &&
        (meanMs > SLOWEST_MS ||
          isCountable(meanMs, count, stream.spreadMs, scale) ||
          isReadAsRhythm(notes.slice(from, to), places, stream)))
    ) {
      // The last two notes of a run may begin the next.
      from = count > 2 ? to - 1 : from + 1;
      continue;
    }
    const distance = Math.abs(first.midi - second.midi);
    const isTrill = distance === 1 || distance === TRILL_STEP;
    const low = first.midi < second.midi ? 0 : 1;
    const main = isTrill ? from + low : from;
    const end = isTrill ? endingAfter(notes, to, (notes[main] as PlayedNote).midi, meanMs) : to;
    const partner = distance > TRILL_STEP ? from + 1 : undefined;
    const indices = stream.notes.slice(from, end);
    found.push({
      sign: isTrill ? 'trill' : 'tremolo',
      main: stream.notes[main] ?? 0,
      ...(partner === undefined ? {} : { partner: stream.notes[partner] ?? 0 }),
      covers: indices.filter((_, at) => from + at !== main && from + at !== partner),
      endSecond: Math.max(...indices.map((index) => part.notes[index]?.endSecond ?? 0)),
    });
    from = end;
  }
  return found;
}
