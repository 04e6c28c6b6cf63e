/**
 * Which staff a single line of a keyboard stands on. Where it plays one note after another and nothing else, one hand has them, and a broken
 * chord is not torn between the staves unless it wanders far.
 */

/** What a keyboard strikes at one onset. */
export interface Slice {
  readonly onset: number;
  readonly midis: readonly number[];
  /** Pairs of a note of this slice and the note that its hand seems to have left for it, as key numbers. */
  readonly moves: readonly (readonly [number, number])[];
  /** Keys still down. */
  readonly held: readonly number[];
  /** Keys struck while all of this slice are still down, or were when the same keys were struck shortly before or after. */
  readonly during: readonly number[];
  /** Whether it is a chord that two hands can halve. */
  readonly isShared: boolean;
}

/** So many notes in a row are a line; what lies beyond these keys needs ledger lines; a change of staff costs so many semitones of them. */
const FEWEST_OF_A_LINE = 12;
const LOW_IN_TREBLE = 57;
const HIGH_IN_BASS = 64;
const CHANGED_STAFF = 30;

/** Staff of each onset that belongs to a single line; onsets of other music are absent. */
export function staffOfLines(slices: readonly Slice[]): Map<number, 1 | 2> {
  const staves = new Map<number, 1 | 2>();
  for (let from = 0; from < slices.length;) {
    let to = from;
    while (to < slices.length && isAlone(slices[to] as Slice)) to++;
    const run = slices.slice(from, to);
    if (run.length >= FEWEST_OF_A_LINE) {
      for (const [at, staff] of pathOfLine(run.map(({ midis }) => midis[0] ?? 60)).entries())
        staves.set(run[at]?.onset ?? 0, staff);
    }
    from = Math.max(to, from + 1);
  }
  return staves;
}

function isAlone({ midis, held }: Slice): boolean {
  return midis.length === 1 && held.length === 0;
}

/**
 * The broken chords of a harp, which both hands share: the strings below middle C stand on the lower staff and those above on the upper one, and
 * who takes over does so on a beat where he can (common practice, no source). In semitones beyond the staff, as above; of our own.
 */
const FEWEST_OF_A_FIGURE = 4;
const HARP_LOW_IN_TREBLE = 59;
const HARP_HIGH_IN_BASS = 60;
/** Farther than this, three ledger lines are counted rather than seen: each semitone costs twice. */
const HARP_SEEN = 5;
const TAKEN_OVER = 2;
const TAKEN_OVER_ELSEWHERE = 8;

/** Staff of each onset of single strings, one after another; `struck` in order of onset. Onsets of chords, and of less than a figure, are absent. */
export function staffOfFigures(
  struck: readonly { readonly onset: number; readonly midis: readonly number[] }[],
  isBeat: (onset: number) => boolean,
): Map<number, 1 | 2> {
  const staves = new Map<number, 1 | 2>();
  for (let from = 0; from < struck.length;) {
    let to = from;
    while (struck[to]?.midis.length === 1) to++;
    const run = struck.slice(from, to);
    if (run.length >= FEWEST_OF_A_FIGURE) {
      const path = pathOfLine(
        run.map(({ midis }) => midis[0] ?? 60),
        {
          low: HARP_LOW_IN_TREBLE,
          high: HARP_HIGH_IN_BASS,
          seen: HARP_SEEN,
          // A beat behind notes inside of one: what moves in beats is a tune, not a figure.
          changeAt: (at) =>
            isBeat(run[at]?.onset ?? 0) && !isBeat(run[at - 1]?.onset ?? 0) ? TAKEN_OVER : TAKEN_OVER_ELSEWHERE,
        },
      );
      for (const [at, staff] of path.entries()) staves.set(run[at]?.onset ?? 0, staff);
    }
    from = Math.max(to, from + 1);
  }
  return staves;
}

interface LineCosts {
  /** Keys below it in the treble clef, and above `high` in the bass clef, cost a semitone each. */
  readonly low: number;
  readonly high: number;
  /** From so many on they cost twice. */
  readonly seen: number;
  /** What a change of staff before the note of this index costs. */
  readonly changeAt: (index: number) => number;
}

const ONE_HAND: LineCosts = { low: LOW_IN_TREBLE, high: HIGH_IN_BASS, seen: Infinity, changeAt: () => CHANGED_STAFF };

/** Ledger lines of a line of notes in the treble and the bass clef against changes of staff. */
function pathOfLine(midis: readonly number[], { low, high, seen, changeAt }: LineCosts = ONE_HAND): (1 | 2)[] {
  let costs = [0, 0];
  const back: number[][] = [];
  for (const [at, midi] of midis.entries()) {
    const own = [low - midi, midi - high].map((beyond) => Math.max(0, beyond) + Math.max(0, beyond - seen));
    const change = at === 0 ? 0 : changeAt(at);
    const best = [0, 1].map((state) => ((costs[1 - state] ?? 0) + change < (costs[state] ?? 0) ? 1 - state : state));
    back.push(best);
    const before = costs;
    costs = best.map((from, state) => (before[from] ?? 0) + (from === state ? 0 : change) + (own[state] ?? 0));
  }
  let state = (costs[0] ?? 0) <= (costs[1] ?? 0) ? 0 : 1;
  const path: (1 | 2)[] = [];
  for (let at = midis.length - 1; at >= 0; at--) {
    path.push(state === 0 ? 1 : 2);
    state = back[at]?.[state] ?? state;
  }
  return path.reverse();
}
