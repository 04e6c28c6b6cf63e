/**
 * How a part is played, and so what its lengths mean: one decision for a part and its passages, not one a note. Each note is a written value
 * played in one of a few manners (joined to the next, parted from it, detached by a share of its value, short, as entered, or anyhow). How
 * often each manner is used is learned from the part itself, note by note with its neighbours (expectation and maximisation; A. Dempster,
 * N. Laird, D. Rubin, J. R. Stat. Soc. B 39(1), 1977), and the same figure is taken to mean the same wherever it comes again.
 */

import type { Measure, Shares } from './playing-manners.ts';
import { BEFORE_A_NOTE, BEFORE_A_REST, MANNERS, STRUCK_BEFORE_A_NOTE, addDensities } from './playing-manners.ts';

/** A value that a note may be written with. */
export interface Way {
  /** Divisions. */
  readonly end: number;
  /** In seconds as they were, and where music swings also on the clock that makes it even: people do either. */
  readonly measures: readonly Measure[];
  /** In nats, before anything is known of the playing. */
  readonly cost: number;
  /** Something follows at once: no rest stands between. */
  readonly follows: boolean;
  /** One figure, without a tie. */
  readonly isOne: boolean;
}

/** A note, or notes struck together, whose value is to be found. */
export interface Sounded {
  readonly onset: number;
  readonly ways: readonly Way[];
  /** What figures of its kind have in common. */
  readonly figure: string;
  /** Its place in the bar. */
  readonly place: string;
}

/** Notes that these first shares are worth, for the part and for the neighbourhood of a note. */
const PART_TRUST = 6;
const NEAR_TRUST = 10;
const NEAR = 12;
/** Notes that the first costs of the ways are worth among figures of one kind. */
const FIGURE_TRUST = 5;
const PLACE_TRUST = 3;
const ROUNDS = 3;
/** Where music swings: how often values are held by their share of real time rather than of the even clock. */
const IN_TIME = 0.7;
/** How far notes before rests are played as those before notes. */
const LIKE_NOTES = 0.2;

/** Nothing longer than this is written with a dot, in divisions. */
const LONGEST_SHORT = 720;
interface Known {
  /** By note, then manner: how likely it was played so before a note and before a rest. */
  readonly follows: Float64Array;
  readonly rests: Float64Array;
}

/** Shares of the manners in the whole part. */
function shareOfPart(seen: Float64Array, first: Shares): Shares {
  const whole = first.map((share) => PART_TRUST * share);
  for (const [at, share] of seen.entries()) whole[at % MANNERS] = (whole[at % MANNERS] as number) + share;
  const all = whole.reduce((sum, one) => sum + one, 0);
  return whole.map((one) => one / all);
}

/** Who detaches his notes does so before rests too. */
function mixed(rests: Shares, notes: Shares): Shares {
  return rests.map((share, manner) => (1 - LIKE_NOTES) * share + LIKE_NOTES * (notes[manner] as number));
}

/** Shares of manners around each note: of the part, then of its neighbours; a note does not speak for itself. */
function sharesAround(seen: Float64Array, count: number, first: Shares): Float64Array {
  const shares = new Float64Array(count * MANNERS);
  const whole = new Float64Array(MANNERS);
  const sums = new Float64Array((count + 1) * MANNERS);
  for (let note = 0; note < count; note++) {
    for (let manner = 0; manner < MANNERS; manner++) {
      const at = note * MANNERS + manner;
      whole[manner] = (whole[manner] as number) + (seen[at] as number);
      sums[at + MANNERS] = (sums[at] as number) + (seen[at] as number);
    }
  }
  const all = whole.reduce((sum, one) => sum + one, 0);
  for (let note = 0; note < count; note++) {
    const from = Math.max(0, note - NEAR) * MANNERS;
    const to = Math.min(count, note + NEAR + 1) * MANNERS;
    let near = 0;
    for (let manner = 0; manner < MANNERS; manner++)
      near +=
        (sums[to + manner] as number) - (sums[from + manner] as number) - (seen[note * MANNERS + manner] as number);
    for (let manner = 0; manner < MANNERS; manner++) {
      const ofPart = ((whole[manner] as number) + PART_TRUST * (first[manner] as number)) / (all + PART_TRUST);
      const own =
        (sums[to + manner] as number) - (sums[from + manner] as number) - (seen[note * MANNERS + manner] as number);
      shares[note * MANNERS + manner] = (own + NEAR_TRUST * ofPart) / (near + NEAR_TRUST);
    }
  }
  return shares;
}

/** The written value of each. `struck`: notes that die away however long the key is down. */
export function valuesOf(notes: readonly Sounded[], struck: boolean): Way[] {
  const count = notes.length;
  const starts = new Int32Array(count + 1);
  for (const [index, note] of notes.entries()) starts[index + 1] = (starts[index] as number) + note.ways.length;
  const ways = starts[count] as number;
  const playing = new Float64Array(ways * MANNERS);
  const priors = new Float64Array(ways);
  for (const [index, note] of notes.entries()) {
    let whole = 0;
    for (const [way, { end, measures, cost, isOne }] of note.ways.entries()) {
      const at = (starts[index] as number) + way;
      const canBeShort = isOne && end - note.onset <= LONGEST_SHORT;
      for (const [kind, measure] of measures.entries()) {
        const weight = measures.length === 1 ? 1 : kind === 0 ? IN_TIME : 1 - IN_TIME;
        addDensities(measure, canBeShort, weight, playing, at * MANNERS);
      }
      priors[at] = Math.exp(-cost);
      whole += priors[at];
    }
    for (let at = starts[index] as number; at < (starts[index + 1] as number); at++)
      priors[at] = (priors[at] as number) / whole;
  }
  const beforeNote = struck ? STRUCK_BEFORE_A_NOTE : BEFORE_A_NOTE;
  const nothing = new Float64Array(count * MANNERS);
  let known: Known = {
    follows: sharesAround(nothing, count, beforeNote),
    rests: sharesAround(nothing, count, BEFORE_A_REST),
  };
  const chances = Float64Array.from(priors);
  let current = Float64Array.from(priors);
  for (let round = 0; round < ROUNDS; round++) {
    const follows = new Float64Array(count * MANNERS);
    const rests = new Float64Array(count * MANNERS);
    for (const [index, note] of notes.entries()) {
      const from = starts[index] as number;
      const to = starts[index + 1] as number;
      let whole = 0;
      for (let at = from; at < to; at++) {
        const shares = note.ways[at - from]?.follows === true ? known.follows : known.rests;
        let sum = 0;
        for (let manner = 0; manner < MANNERS; manner++) {
          sum += (shares[index * MANNERS + manner] as number) * (playing[at * MANNERS + manner] as number);
        }
        chances[at] = sum * (current[at] as number);
        whole += chances[at] as number;
      }
      if (whole <= 0) continue;
      for (let at = from; at < to; at++) {
        const isFollowed = note.ways[at - from]?.follows === true;
        const shares = isFollowed ? known.follows : known.rests;
        const seen = isFollowed ? follows : rests;
        for (let manner = 0; manner < MANNERS; manner++) {
          const one = (shares[index * MANNERS + manner] as number) * (playing[at * MANNERS + manner] as number);
          const place = index * MANNERS + manner;
          seen[place] = (seen[place] as number) + (one * (current[at] as number)) / whole;
        }
        chances[at] = (chances[at] as number) / whole;
      }
    }
    if (round === ROUNDS - 1) break;
    known = {
      follows: sharesAround(follows, count, beforeNote),
      rests: sharesAround(rests, count, mixed(BEFORE_A_REST, shareOfPart(follows, beforeNote))),
    };
    current = byFigure(notes, starts, priors, chances);
  }
  return notes.map((note, index): Way => {
    const from = starts[index] as number;
    let best = from;
    for (let at = from; at < (starts[index + 1] as number); at++) {
      if ((chances[at] as number) > (chances[best] as number)) best = at;
    }
    return note.ways[best - from] as Way;
  });
}

/**
 * The chance of each way as the same figure is read elsewhere in the part, first anywhere in the bar, then at this place of it; a note does
 * not speak for itself.
 */
function byFigure(
  notes: readonly Sounded[],
  starts: Int32Array,
  priors: Float64Array,
  chances: Float64Array,
): Float64Array<ArrayBuffer> {
  const anywhere = pooled(notes, starts, priors, chances, ({ figure }) => figure, FIGURE_TRUST);
  return pooled(notes, starts, anywhere, chances, ({ figure, place }) => `${figure}@${place}`, PLACE_TRUST);
}

function pooled(
  notes: readonly Sounded[],
  starts: Int32Array,
  priors: Float64Array,
  chances: Float64Array,
  kindOf: (note: Sounded) => string,
  trust: number,
): Float64Array<ArrayBuffer> {
  const kinds = notes.map(kindOf);
  const sums = new Map<string, Map<number, number>>();
  const counts = new Map<string, number>();
  for (const [index, note] of notes.entries()) {
    const kind = kinds[index] as string;
    const lengths = sums.get(kind) ?? new Map<number, number>();
    sums.set(kind, lengths);
    counts.set(kind, (counts.get(kind) ?? 0) + 1);
    for (const [way, { end }] of note.ways.entries()) {
      const length = end - note.onset;
      lengths.set(length, (lengths.get(length) ?? 0) + (chances[(starts[index] as number) + way] as number));
    }
  }
  const next = Float64Array.from(priors);
  for (const [index, note] of notes.entries()) {
    const kind = kinds[index] as string;
    const others = (counts.get(kind) ?? 1) - 1;
    for (const [way, { end }] of note.ways.entries()) {
      const at = (starts[index] as number) + way;
      const seen = (sums.get(kind)?.get(end - note.onset) ?? 0) - (chances[at] as number);
      next[at] = (Math.max(0, seen) + trust * (priors[at] as number)) / (others + trust);
    }
  }
  return next;
}
