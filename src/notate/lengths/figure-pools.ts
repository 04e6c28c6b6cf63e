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

/**
 * The same figure is held alike, so that a key held within `AS_LONG` of another one (natural logarithms) says all of it, and one held twice as
 * long nothing: in between it falls in a straight line (ours, set on the folders and scores of the tuning half).
 */
const AS_LONG = 0.25;
const ANOTHER_LENGTH = Math.LN2;

/** Up to where, in a list sorted by how long keys were held, members are within so much of each one: the first inside and the first beyond. */
interface Reach {
  readonly within: number;
  readonly from: Int32Array;
  readonly to: Int32Array;
}

/** Notes of one kind, sorted by how long they were held. */
interface Kind {
  readonly members: Int32Array;
  /** Logarithms of how long they were held. */
  readonly held: Float64Array;
  /** How many lengths their ways make. */
  readonly lengths: number;
  readonly near: Reach;
  readonly far: Reach;
  /** By member: how much all others say, each at most 1. */
  readonly others: Float64Array;
}

/** Ways that make the same length of notes of one kind. */
interface Pool {
  /** By way: its length among those of its kind. */
  readonly of: Int32Array;
  readonly kinds: readonly Kind[];
}

function reachOf(held: Float64Array, within: number): Reach {
  const from = new Int32Array(held.length);
  const to = new Int32Array(held.length);
  let [first, beyond] = [0, 0];
  for (const [at, own] of held.entries()) {
    while ((held[first] as number) < own - within) first++;
    while (beyond < held.length && (held[beyond] as number) <= own + within) beyond++;
    from[at] = first;
    to[at] = beyond;
  }
  return { within, from, to };
}

/** Sums of weights, and of weights times how long was held, before each member. */
interface Sums {
  readonly weights: Float64Array;
  readonly moments: Float64Array;
}

function sumsOf(weights: Float64Array, held: Float64Array): Sums {
  const sums = { weights: new Float64Array(held.length + 1), moments: new Float64Array(held.length + 1) };
  for (let at = 0; at < held.length; at++) {
    const weight = weights[at] as number;
    sums.weights[at + 1] = (sums.weights[at] as number) + weight;
    sums.moments[at + 1] = (sums.moments[at] as number) + weight * (held[at] as number);
  }
  return sums;
}

/** What members say together, each by how far it is within reach of one. */
function closeness({ weights, moments }: Sums, own: number, at: number, { within, from, to }: Reach): number {
  const [low, high] = [from[at] as number, to[at] as number];
  const below = (weights[at] as number) - (weights[low] as number);
  const above = (weights[high] as number) - (weights[at] as number);
  const lower = (moments[at] as number) - (moments[low] as number);
  const upper = (moments[high] as number) - (moments[at] as number);
  return (within - own) * below + lower + (within + own) * above - upper;
}

function heard(sums: Sums, held: Float64Array, at: number, near: Reach, far: Reach): number {
  const own = held[at] as number;
  return (closeness(sums, own, at, far) - closeness(sums, own, at, near)) / (ANOTHER_LENGTH - AS_LONG);
}

function kindOf(notes: readonly Sounded[], list: readonly number[], lengths: number): Kind {
  const sorted = [...list].sort((a, b) => (notes[a] as Sounded).held - (notes[b] as Sounded).held || a - b);
  const held = Float64Array.from(sorted, (note) => Math.log((notes[note] as Sounded).held));
  const near = reachOf(held, AS_LONG);
  const far = reachOf(held, ANOTHER_LENGTH);
  const all = sumsOf(new Float64Array(held.length).fill(1), held);
  const others = held.map((_, at) => Math.max(0, heard(all, held, at, near, far) - 1));
  return { members: Int32Array.from(sorted), held, lengths, near, far, others };
}

export function poolOf(notes: readonly Sounded[], ways: number, nameOf: (note: Sounded) => string): Pool {
  const of = new Int32Array(ways);
  const kinds = new Map<string, { readonly lengths: Map<number, number>; readonly list: number[] }>();
  let at = 0;
  for (const [index, note] of notes.entries()) {
    const name = nameOf(note);
    const kind = kinds.get(name) ?? { lengths: new Map<number, number>(), list: [] };
    kinds.set(name, kind);
    kind.list.push(index);
    for (const { end } of note.ways) {
      const length = end - note.onset;
      const known = kind.lengths.get(length) ?? kind.lengths.size;
      kind.lengths.set(length, known);
      of[at++] = known;
    }
  }
  return { of, kinds: [...kinds.values()].map(({ list, lengths }) => kindOf(notes, list, lengths.size)) };
}

/** The chance of each way as the others of its kind that are held alike are read; a note does not speak for itself. */
export function pooled(
  starts: Int32Array,
  priors: Float64Array<ArrayBuffer>,
  chances: Float64Array,
  { of, kinds }: Pool,
  trust: number,
): Float64Array<ArrayBuffer> {
  const next = new Float64Array(priors.length);
  for (const { members, held, lengths, near, far, others } of kinds) {
    if (members.length === 1) {
      // Nobody else speaks: what was thought before stands.
      const [from, to] = [starts[members[0] as number], starts[(members[0] as number) + 1]] as [number, number];
      next.set(priors.subarray(from, to), from);
      continue;
    }
    const weights = Array.from({ length: lengths }, () => new Float64Array(members.length));
    for (let at = 0; at < members.length; at++) {
      const note = members[at] as number;
      for (let way = starts[note] as number; way < (starts[note + 1] as number); way++)
        (weights[of[way] as number] as Float64Array)[at] = chances[way] as number;
    }
    const sums = weights.map((own) => sumsOf(own, held));
    for (let at = 0; at < members.length; at++) {
      const note = members[at] as number;
      const known = others[at] as number;
      for (let way = starts[note] as number; way < (starts[note + 1] as number); way++) {
        const all = heard(sums[of[way] as number] as Sums, held, at, near, far);
        const seen = Math.max(0, all - (chances[way] as number));
        next[way] = (seen + trust * (priors[way] as number)) / (known + trust);
      }
    }
  }
  return next;
}

/**
 * Notes of a kind whose lengths lie together, so many at least, apart from all others of it (natural logarithms; of our own): one length is meant,
 * and it is the one that is likeliest for all, where one by one they would fall on either side of a border. One note alone says no more than so much.
 */
const FEWEST_ALIKE = 8;
const APART = 0.15;
const LIES_TOGETHER = 0.3;
const LEAST_CHANCE = 0.01;

/** Gives the notes of each such group the one length that is likeliest for all; changes `chances`. By note the first of its group; -1 where it has none. */
export function settle(starts: Int32Array, chances: Float64Array, { of, kinds }: Pool): Int32Array {
  const groups = new Int32Array(starts.length - 1).fill(-1);
  for (const { members, held, lengths } of kinds) {
    for (let from = 0; from < members.length;) {
      let to = from + 1;
      while (to < members.length && (held[to] as number) - (held[to - 1] as number) < APART) to++;
      if (to - from >= FEWEST_ALIKE && (held[to - 1] as number) - (held[from] as number) <= LIES_TOGETHER) {
        const group = members.subarray(from, to);
        agree(starts, chances, of, lengths, group);
        for (const note of group) groups[note] = group[0] as number;
      }
      from = to;
    }
  }
  return groups;
}

/**
 * A stroke that lies among so many of its figure held about as long (natural logarithms; of our own), nearly all of which are read as one length, is
 * read as they are: what comes again is written again, however near to a border one of them fell.
 */
const AMONG = 0.15;
const FEWEST_AMONG = 8;
const NEARLY_ALL = 0.9;

/** Gives the strokes of no settled group what nearly all around them have; changes `chances`. */
export function follow(starts: Int32Array, chances: Float64Array, { of, kinds }: Pool, groups: Int32Array): void {
  for (const { members, held, lengths } of kinds) {
    if (members.length <= FEWEST_AMONG) continue;
    const read = members.map((note) => of[likeliest(starts, chances, note)] as number);
    const counts = new Int32Array(lengths);
    let [from, to] = [0, 0];
    for (let at = 0; at < members.length; at++) {
      const own = held[at] as number;
      for (; to < members.length && (held[to] as number) <= own + AMONG; to++)
        counts[read[to] as number] = (counts[read[to] as number] as number) + 1;
      for (; (held[from] as number) < own - AMONG; from++)
        counts[read[from] as number] = (counts[read[from] as number] as number) - 1;
      const note = members[at] as number;
      if (groups[note] !== -1 || to - from <= FEWEST_AMONG) continue;
      const most = counts.indexOf(Math.max(...counts));
      if ((counts[most] as number) < NEARLY_ALL * (to - from - 1)) continue;
      const [first, beyond] = [starts[note] as number, starts[note + 1] as number];
      const open = of.subarray(first, beyond).indexOf(most);
      if (open < 0) continue;
      for (let way = first; way < beyond; way++) chances[way] = way === first + open ? 1 : 0;
    }
  }
}

function agree(starts: Int32Array, chances: Float64Array, of: Int32Array, lengths: number, group: Int32Array): void {
  const known = new Int32Array(lengths);
  const sums = new Float64Array(lengths);
  for (const note of group) {
    for (let way = starts[note] as number; way < (starts[note + 1] as number); way++) {
      const length = of[way] as number;
      known[length] = (known[length] as number) + 1;
      sums[length] = (sums[length] as number) + Math.log(Math.max(LEAST_CHANCE, chances[way] as number));
    }
  }
  let best = -1;
  for (let length = 0; length < lengths; length++) {
    if (known[length] === group.length && (best < 0 || (sums[length] as number) > (sums[best] as number)))
      best = length;
  }
  if (best < 0) return;
  for (const note of group) {
    for (let way = starts[note] as number; way < (starts[note + 1] as number); way++)
      chances[way] = of[way] === best ? 1 : 0;
  }
}
