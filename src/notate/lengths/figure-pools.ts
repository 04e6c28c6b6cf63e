/** What comes again is read as it is elsewhere: the chances of values among the notes of one figure. */
import type { Sounded } from './sounded.ts';

/** The likeliest way of a note, among all ways. */
function likeliest(starts: Int32Array, chances: Float64Array, note: number): number {
  let best = starts[note] as number;
  for (let at = best; at < (starts[note + 1] as number); at++) {
    if ((chances[at] as number) > (chances[best] as number)) best = at;
  }
  return best;
}

/** All for the likeliest way of each note. */
export function decided(starts: Int32Array, chances: Float64Array): Float64Array {
  const sure = new Float64Array(chances.length);
  for (let note = 0; note < starts.length - 1; note++) sure[likeliest(starts, chances, note)] = 1;
  return sure;
}

/** Ways that make the same length of notes of one kind. */
interface Pool {
  /** By way. */
  readonly of: Int32Array;
  readonly count: number;
  /** By note: how many others are of its kind. */
  readonly others: readonly number[];
}

export function poolOf(notes: readonly Sounded[], ways: number, kindOf: (note: Sounded) => string): Pool {
  const of = new Int32Array(ways);
  let count = 0;
  let at = 0;
  const kinds = new Map<string, { readonly byLength: Map<number, number>; notes: number }>();
  const ofNotes = notes.map((note) => {
    const name = kindOf(note);
    const kind = kinds.get(name) ?? { byLength: new Map<number, number>(), notes: 0 };
    kinds.set(name, kind);
    kind.notes++;
    for (const { end } of note.ways) {
      const known = kind.byLength.get(end - note.onset);
      if (known === undefined) kind.byLength.set(end - note.onset, count);
      of[at++] = known ?? count++;
    }
    return kind;
  });
  return { of, count, others: ofNotes.map((kind) => kind.notes - 1) };
}

/** The chance of each way as the others of its kind are read; a note does not speak for itself. */
export function pooled(
  starts: Int32Array,
  priors: Float64Array<ArrayBuffer>,
  chances: Float64Array,
  { of, count, others }: Pool,
  trust: number,
): Float64Array<ArrayBuffer> {
  const sums = new Float64Array(count);
  for (let at = 0; at < of.length; at++) {
    const pool = of[at] as number;
    sums[pool] = (sums[pool] as number) + (chances[at] as number);
  }
  const next = new Float64Array(priors.length);
  for (const [note, known] of others.entries()) {
    for (let at = starts[note] as number; at < (starts[note + 1] as number); at++) {
      const seen = (sums[of[at] as number] as number) - (chances[at] as number);
      next[at] = (Math.max(0, seen) + trust * (priors[at] as number)) / (known + trust);
    }
  }
  return next;
}
