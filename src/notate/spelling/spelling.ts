/**
 * Pitch spelling by ps13s1: every possible tonic spells its chromatic scale, and the tonics vote by how often their pitch class sounds
 * nearby. D. Meredith, "The ps13 pitch spelling algorithm", Journal of New Music Research 35(2), 2006, 121-159. Which of the enharmonic
 * sides the result stands on is anchored to the local key. Computed on the union of all parts at concert pitch, so that unisons agree.
 */
import { fifthsOf } from '../../model/music/pitch.ts';
import type { KeySpan } from '../../model/music/written.ts';
import { chromaticPlace } from '../keys/line-of-fifths.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { barIndexAtDivision } from '../score-time/score-time.ts';

/** Letter distance of each chromatic interval above a tonic. */
const INTERVAL_LETTERS = [0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6] as const;
/** Letter (A = 0) of the first note by chroma measured from A. */
const FIRST_LETTERS = [0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6] as const;
const NATURAL_CHROMAS = [0, 2, 3, 5, 7, 8, 10] as const;
/** Place on the line of fifths of the natural letters A, B, C, D, E, F, G. */
const LETTER_FIFTHS = [3, 5, 0, 2, 4, -1, 1] as const;
const NOTES_BEFORE = 10;
const NOTES_AFTER = 42;
const ANCHOR_REACH = 40;

/**
 * Place on the line of fifths of each chroma (measured from A, A = 0) in a sequence, by ps13s1 alone: the side is arbitrary. No window reaches
 * over an index in `seams` (sorted), where the key is known to change. `tell` hears the votes for each letter (A first).
 */
export function ps13(
  chromas: readonly number[],
  seams: readonly number[] = [],
  tell?: (index: number, votes: readonly number[]) => void,
): number[] {
  const first = chromas[0] ?? 0;
  const tonicLetters = Array.from({ length: 12 }, (_, tonic) => {
    const above = (((first - tonic) % 12) + 12) % 12;
    return ((((FIRST_LETTERS[first] ?? 0) - (INTERVAL_LETTERS[above] ?? 0)) % 7) + 7) % 7;
  });
  const counts = Array.from({ length: 12 }, () => 0);
  const count = (index: number, change: number): void => {
    const entering = chromas[index] ?? 0;
    counts[entering] = (counts[entering] ?? 0) + change;
  };
  const borders = [...seams, chromas.length];
  let begin = 0;
  let end = 0;
  let seamBefore = 0;
  let border = 0;
  return chromas.map((chroma, index) => {
    for (; index >= (borders[border] ?? Infinity); border++) seamBefore = borders[border] ?? 0;
    const seamAfter = borders[border] ?? chromas.length;
    const size = NOTES_BEFORE + NOTES_AFTER;
    // A window that meets a seam on one side reaches further to the other.
    const from = Math.max(seamBefore, Math.min(index - NOTES_BEFORE, seamAfter - size));
    const to = Math.min(seamAfter, Math.max(index + NOTES_AFTER, from + size));
    for (; end < to; end++) count(end, 1);
    for (; begin < from; begin++) count(begin, -1);
    const votes = [0, 0, 0, 0, 0, 0, 0];
    for (let tonic = 0; tonic < 12; tonic++) {
      const above = (chroma - tonic + 12) % 12;
      const letter = ((INTERVAL_LETTERS[above] ?? 0) + (tonicLetters[tonic] ?? 0)) % 7;
      votes[letter] = (votes[letter] ?? 0) + (counts[tonic] ?? 0);
    }
    tell?.(index, votes);
    const letter = votes.indexOf(Math.max(...votes));
    const alter = ((((chroma - (NATURAL_CHROMAS[letter] ?? 0) + 6) % 12) + 12) % 12) - 6;
    return (LETTER_FIFTHS[letter] ?? 0) + 7 * alter;
  });
}

/** Medians of whole numbers over a sliding window that reaches `reach` to both sides. */
function runningMedians(numbers: readonly number[], reach: number): number[] {
  const counts = new Map<number, number>();
  const add = (number: number | undefined, change: number): void => {
    if (number !== undefined) counts.set(number, (counts.get(number) ?? 0) + change);
  };
  for (let index = 0; index < reach; index++) add(numbers[index], 1);
  return numbers.map((_, index) => {
    add(numbers[index + reach], 1);
    add(numbers[index - reach - 1], -1);
    const size = Math.min(numbers.length, index + reach + 1) - Math.max(0, index - reach);
    let passed = 0;
    for (const [number, count] of [...counts.entries()].sort((a, b) => a[0] - b[0])) {
      passed += count;
      if (passed > size >> 1) return number;
    }
    return 0;
  });
}

export interface NoteToSpell {
  readonly start: number;
  readonly midi: number;
}

/** Hears the votes of the tonics around a pitch for its letter (A first). */
export type TellVotes = (note: NoteToSpell, votes: readonly number[]) => void;

/** Line-of-fifths places for every (onset, pitch class) of a stage. */
export interface Spelling {
  readonly placeOf: (start: number, midi: number) => number;
}

/** Spells the union of all parts, anchored to the keys. `notes` need no order; doubled pitch classes of one onset count once. */
export function spell(
  notes: readonly NoteToSpell[],
  keys: readonly KeySpan[],
  time: ScoreTime,
  tell?: TellVotes,
): Spelling {
  const union = new Map<string, NoteToSpell>();
  for (const note of notes) {
    const key = `${String(note.start)}:${String(note.midi % 12)}`;
    const known = union.get(key);
    if (known === undefined || note.midi < known.midi) union.set(key, note);
  }
  const sorted = [...union.values()].sort((a, b) => a.start - b.start || a.midi - b.midi);
  const keyByBar = time.bars.map(
    (bar) => keys.find((key) => bar.number >= key.from && bar.number <= key.to) ?? keys[0],
  );
  const seams: number[] = [];
  let keyBefore: KeySpan | undefined;
  for (const [index, note] of sorted.entries()) {
    const key = keyByBar[barIndexAtDivision(time, note.start)];
    if (index > 0 && key !== keyBefore) seams.push(index);
    keyBefore = key;
  }
  const raw = ps13(
    sorted.map((note) => (note.midi - 69 + 120) % 12),
    seams,
    tell &&
      ((index, votes) => {
        const note = sorted[index];
        if (note !== undefined) tell(note, votes);
      }),
  );
  const turns = sorted.map((note, index) => {
    const key = keyByBar[barIndexAtDivision(time, note.start)];
    const tonic = key === undefined ? 0 : fifthsOf(key.tonic);
    return Math.round((chromaticPlace(note.midi % 12, tonic) - (raw[index] ?? 0)) / 12);
  });
  const sides = runningMedians(turns, ANCHOR_REACH);
  const places = new Map<string, number>();
  for (const [index, note] of sorted.entries()) {
    places.set(`${String(note.start)}:${String(note.midi % 12)}`, (raw[index] ?? 0) + 12 * (sides[index] ?? 0));
  }
  return {
    placeOf: (start, midi) => places.get(`${String(start)}:${String(midi % 12)}`) ?? chromaticPlace(midi % 12, 0),
  };
}
