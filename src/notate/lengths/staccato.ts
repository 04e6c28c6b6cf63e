/**
 * Staccato dots: notes that sound for about half of what is written, or less, by habit and not by chance. A dot halves a value (C. P. E. Bach,
 * Versuch I, 1753; D. G. Türk, Klavierschule, 1789; both from memory). Shares and counts are ours, set on the folders of the tuning half.
 */
import type { Part } from '../../model/music/arrangement.ts';
import { groupedBy } from '../../model/grouped.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { secondAt } from '../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import { STRUCK_FAMILIES, STRUCK_WORDS } from './dying-away.ts';
import { LONGEST_DOTTED, mayBeShort } from './value-candidates.ts';

/** A note at its written place; `index` into the part's notes. */
export interface ValuedNote {
  readonly index: number;
  readonly start: number;
  readonly end: number;
  readonly staff: number;
}

/** Where half of the notes sound for no more of their value than this they are short, all but those that sound for more than that. */
const SHORT_SHARE = 0.6;
const DOUBTFUL_SHARE = 0.8;
/** Short and other chords of a value are two kinds where they lie apart by so many times their spreads and the others sound for so much. */
const TWO_HEAPS = 2.2;
const LONG_SHARE = 0.72;
/** Who rings on for more than this is of neither kind. */
const MOST_SHARE = 1.5;
/** Where fewer than one in so many sound for more than a doubtful share, they too are short. */
const RARE = 12;
/** A chord of the other hand is as short as this. */
const ALIKE_SHARE = 0.66;
/** A shorter silence than this is the lift between two notes: the hand needs it. */
const LEAST_GAP_MS = 64;
/** So many chords before and after have the same habit, within so much time (four whole notes). */
const NEAR = 24;
const NEAR_DIVISIONS = 7680;
/** As many chords is the hand elsewhere worth, where its chords of one value are of one kind. */
const HABIT_TRUST = 2;
/** As many of one value make a habit. */
const FEWEST = 4;
/** Up to this share of the chords around one is next to none of them. */
const RARELY = 0.25;
/** What dies away says little by when it is damped, but a hand on a fretted neck damps on purpose. */
const DAMPED = new Set(['guitar', 'banjo', 'ukulele']);

interface Chord {
  readonly notes: readonly number[];
  readonly start: number;
  readonly value: number;
  /** Share of its value that it sounds, and the silence after it. */
  readonly share: number;
  readonly gapMs: number;
}

/** What the chords of one value in one hand have in common. */
interface Habit {
  readonly share: number;
  /** Between short ones and others, where there are both. */
  readonly border: number | undefined;
  /** Up to this share one is short. */
  readonly limit: number;
}

/** Indices of the notes of a part that have a dot. */
export function staccatoOf(part: Part, timeline: Timeline, notes: readonly ValuedNote[]): ReadonlySet<number> {
  const dotted = new Set<number>();
  if (part.unpitched || (STRUCK_FAMILIES.has(part.family) && !DAMPED.has(part.instrument))) return dotted;
  const hands = [...groupedBy(notes, ({ staff }) => staff).values()].map((own) => {
    const chords = chordsOf(part, timeline, own);
    const habits = habitsOf(chords);
    const around = chords.map((_, place) => near(chords, place));
    const shortHere = new Set(
      chords.filter((chord, place) => isShortHere(chord, around[place] as Chord[], habits.get(chord.value))),
    );
    // What a hand does nearly everywhere around a chord it does there too.
    const short = new Set(
      chords.filter((chord, place) => {
        const others = (around[place] as Chord[]).filter((other) => other !== chord);
        const shorts = others.filter((other) => shortHere.has(other)).length;
        const isShort = shortHere.has(chord);
        if (others.length < FEWEST) return isShort;
        return shorts > RARELY * others.length && (isShort || shorts >= (1 - RARELY) * others.length);
      }),
    );
    return { chords, habits, short };
  });
  const gaps = new Map(
    [
      ...groupedBy(
        hands.flatMap(({ short }) => [...short]),
        ({ value }) => value,
      ),
    ].map(([value, alike]) => [value, middle(alike.map(({ gapMs }) => gapMs))]),
  );
  for (const { chords, habits, short } of hands) {
    for (const chord of chords) {
      if (!short.has(chord) || chord.share > (habits.get(chord.value)?.limit ?? DOUBTFUL_SHARE)) continue;
      if ((gaps.get(chord.value) ?? 0) >= LEAST_GAP_MS) for (const index of chord.notes) dotted.add(index);
    }
  }
  return new Set([...dotted, ...hands.flatMap(({ chords }) => inBothHands(chords, dotted, hands))]);
}

/** What one hand strikes with a dotted chord of the other, as long and nearly as short, has the dot too, unless it is none of its habits. */
function inBothHands(
  chords: readonly Chord[],
  dotted: ReadonlySet<number>,
  hands: readonly { readonly chords: readonly Chord[] }[],
): readonly number[] {
  const others = new Map<string, Chord>();
  for (const other of hands) {
    if (other.chords === chords) continue;
    for (const chord of other.chords)
      if (chord.notes.some((index) => dotted.has(index))) others.set(chordKey(chord), chord);
  }
  return chords.flatMap((chord, place) => {
    const other = others.get(chordKey(chord));
    if (other === undefined || chord.notes.some((index) => dotted.has(index))) return [];
    const alike = near(chords, place);
    const share =
      alike.length >= FEWEST
        ? middle(alike.map((one) => one.share))
        : (chord.share * chord.notes.length + other.share * other.notes.length) /
          (chord.notes.length + other.notes.length);
    return share <= ALIKE_SHARE ? chord.notes : [];
  });
}

function chordKey({ start, value }: Chord): string {
  return `${String(start)}:${String(value)}`;
}

function habitsOf(chords: readonly Chord[]): ReadonlyMap<number, Habit> {
  return new Map(
    [...groupedBy(chords, ({ value }) => value)].map(([value, alike]) => {
      const shares = alike.map(({ share }) => share);
      const limit =
        shares.filter((share) => share > DOUBTFUL_SHARE).length * RARE <= shares.length ? MOST_SHARE : DOUBTFUL_SHARE;
      const border = borderOf(shares);
      return [value, { share: middle(shares), border, limit: border ?? limit }];
    }),
  );
}

/**
 * The border between two heaps of numbers, where they lie in two and the lower one is short: the cut that leaves the least spread within both
 * (N. Otsu, IEEE Trans. Systems, Man, and Cybernetics 9(1), 1979, from memory). Undefined where there is but one heap.
 */
function borderOf(shares: readonly number[]): number | undefined {
  const sorted = shares.filter((share) => share <= MOST_SHARE).sort((a, b) => a - b);
  const sums = [0];
  const squares = [0];
  for (const [at, share] of sorted.entries()) {
    sums.push((sums[at] as number) + share);
    squares.push((squares[at] as number) + share * share);
  }
  const heap = (from: number, to: number): { readonly mean: number; readonly spread: number } => {
    const count = to - from;
    const mean = ((sums[to] as number) - (sums[from] as number)) / count;
    return { mean, spread: Math.max(0, (squares[to] as number) - (squares[from] as number) - count * mean * mean) };
  };
  let least = Infinity;
  let cut = 0;
  for (let at = FEWEST; at <= sorted.length - FEWEST; at++) {
    const within = heap(0, at).spread + heap(at, sorted.length).spread;
    if (within < least) [least, cut] = [within, at];
  }
  if (cut === 0) return undefined;
  const [lower, upper] = [heap(0, cut), heap(cut, sorted.length)];
  const spread = Math.sqrt(lower.spread / cut) + Math.sqrt(upper.spread / (sorted.length - cut));
  if (lower.mean > SHORT_SHARE || upper.mean < LONG_SHARE || upper.mean - lower.mean < TWO_HEAPS * spread)
    return undefined;
  return (lower.mean + upper.mean) / 2;
}

function spanKey({ start, end }: ValuedNote): string {
  return `${String(start)}:${String(end)}`;
}

function chordsOf(part: Part, timeline: Timeline, notes: readonly ValuedNote[]): Chord[] {
  const msAt = (division: number): number => 1000 * secondAt(timeline, division / DIVISIONS_PER_QUARTER);
  return [...groupedBy(notes, spanKey).values()]
    .map((own): Chord => {
      const [{ start, end } = { start: 0, end: 1 }] = own;
      const lengthMs = Math.max(1, msAt(end) - msAt(start));
      // Beside the real time stands the clock on which swung beats are even: people hold their share of either.
      const held = own.map(({ index }) => {
        const note = part.notes[index];
        if (note === undefined || STRUCK_WORDS.test(part.tracks[note.trackIndex]?.articulation ?? ''))
          return [Infinity, Infinity];
        const ringsMs = 1000 * (note.soundingEndSecond - note.endSecond);
        const ms = 1000 * (note.endSecond - note.startSecond) + ringsMs;
        const clock = ringsMs > 1 ? Infinity : (note.endQuarters - note.startQuarters) * DIVISIONS_PER_QUARTER;
        return [ms / lengthMs, clock / (end - start)];
      });
      const share = Math.min(
        middle(held.map(([inTime = 1]) => inTime)),
        middle(held.map(([, onClock = 1]) => onClock)),
      );
      return {
        notes: own.map(({ index }) => index),
        start,
        value: end - start,
        share,
        gapMs: lengthMs * (1 - share),
      };
    })
    .sort((a, b) => a.start - b.start);
}

/** So many chords before and after one that are as long as it, and itself. */
function near(chords: readonly Chord[], place: number): Chord[] {
  const { start, value } = chords[place] as Chord;
  return chords
    .slice(Math.max(0, place - NEAR), place + NEAR + 1)
    .filter((other) => other.value === value && Math.abs(other.start - start) <= NEAR_DIVISIONS);
}

/** Mean of the middle half, which scatters less than the one number in the middle; that one where some are without end. */
function middle(numbers: readonly number[]): number {
  const sorted = [...numbers].sort((a, b) => a - b);
  const cut = sorted.length >> 2;
  const half = sorted.slice(cut, sorted.length - cut);
  if (sorted.length <= 2 || sorted.at(-1) === Infinity) return sorted[sorted.length >> 1] ?? Infinity;
  return half.reduce((sum, number) => sum + number, 0) / half.length;
}

/** Whether chords of one value, near one another, are short by habit; few of them are held against their hand elsewhere. */
function isShortHere(chord: Chord, alike: readonly Chord[], habit: Habit | undefined): boolean {
  if (alike.length < FEWEST || chord.value > LONGEST_DOTTED || !mayBeShort(chord.value)) return false;
  const here = middle(alike.map(({ share }) => share));
  if (habit?.border === undefined) {
    const whole = Math.min(MOST_SHARE, habit?.share ?? here);
    return alike.length * here + HABIT_TRUST * whole <= (alike.length + HABIT_TRUST) * SHORT_SHARE;
  }
  return here <= SHORT_SHARE || runAround(chord, alike, habit.border) >= FEWEST;
}

/** How many in a row around a chord are short. */
function runAround(chord: Chord, alike: readonly Chord[], border: number): number {
  const place = alike.indexOf(chord);
  let from = place;
  while ((alike[from]?.share ?? Infinity) <= border) from--;
  let to = place;
  while ((alike[to]?.share ?? Infinity) <= border) to++;
  return Math.max(0, to - from - 1);
}
