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

/** Ledger lines of a line of notes in the treble and the bass clef against changes of staff. */
function pathOfLine(midis: readonly number[]): (1 | 2)[] {
  const costOf = (midi: number): readonly [number, number] => [
    Math.max(0, LOW_IN_TREBLE - midi),
    Math.max(0, midi - HIGH_IN_BASS),
  ];
  let costs = [0, 0];
  const back: number[][] = [];
  for (const midi of midis) {
    const own = costOf(midi);
    const best = [0, 1].map((state) =>
      (costs[1 - state] ?? 0) + CHANGED_STAFF < (costs[state] ?? 0) ? 1 - state : state,
    );
    back.push(best);
    const before = costs;
    costs = best.map((from, state) => (before[from] ?? 0) + (from === state ? 0 : CHANGED_STAFF) + (own[state] ?? 0));
  }
  let state = (costs[0] ?? 0) <= (costs[1] ?? 0) ? 0 : 1;
  const path: (1 | 2)[] = [];
  for (let at = midis.length - 1; at >= 0; at--) {
    path.push(state === 0 ? 1 : 2);
    state = back[at]?.[state] ?? state;
  }
  return path.reverse();
}
