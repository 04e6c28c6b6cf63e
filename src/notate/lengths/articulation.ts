/**
 * How a part is played, and so what its lengths mean: one decision for a part and its passages, not one a note. Each note is a written value
 * played in one of a few manners (joined to the next, parted from it, detached by a share of its value, short, as entered, or anyhow). How
 * often each manner is used is learned from the part itself, note by note with its neighbours (expectation and maximisation; A. Dempster,
 * N. Laird, D. Rubin, J. R. Stat. Soc. B 39(1), 1977), and the same figure is taken to mean the same wherever it comes again.
 */

import { decided, follow, poolOf, pooled, settle } from './figure-pools.ts';
import type { Shares } from './playing-manners.ts';
import { BEFORE_A_NOTE, BEFORE_A_REST, MANNERS, SHORT, STRUCK_BEFORE_A_NOTE, addDensities } from './playing-manners.ts';
import type { Sounded } from './sounded.ts';

/** Notes that these first shares are worth, for the part and for the neighbourhood of a note. */
const PART_TRUST = 6;
const NEAR_TRUST = 10;
const NEAR = 12;
/** Notes that the first costs of the ways are worth among figures of one kind. */
const FIGURE_TRUST = 5;
const PLACE_TRUST = 3;
const ROUNDS = 3;
/** Rounds after those in which a figure is read as it is chosen elsewhere, not as it may be: what comes again is written again. */
const DECIDED_ROUNDS = 2;
/** Where music swings: how often values are held by their share of real time rather than of the even clock. */
const IN_TIME = 0.7;
const NEAR_LIKE = 0.5;
/** How far notes before rests are played as those before notes. */
const LIKE_NOTES = 0.2;

interface Known {
  /** By note, then manner: how likely it was played so before a note and before a rest. */
  readonly follows: Float64Array;
  readonly rests: Float64Array;
}

/** What was seen of each manner in the whole part. */
function wholeOf(seen: Float64Array): Float64Array {
  const whole = new Float64Array(MANNERS);
  for (let at = 0; at < seen.length; at += MANNERS) {
    for (let manner = 0; manner < MANNERS; manner++)
      whole[manner] = (whole[manner] as number) + (seen[at + manner] as number);
  }
  return whole;
}

/** Shares of the manners in the whole part. */
function sharesOfPart(whole: Float64Array, first: Shares): Shares {
  const all = whole.reduce((sum, one) => sum + one, 0);
  return Array.from(whole, (one, manner) => (one + PART_TRUST * (first[manner] as number)) / (all + PART_TRUST));
}

/** Who detaches his notes does so before rests too. */
function mixed(rests: Shares, notes: Shares): Shares {
  return rests.map((share, manner) => (1 - LIKE_NOTES) * share + LIKE_NOTES * (notes[manner] as number));
}

/** What was seen in one place, and some of what was seen in the other: who plays short before a rest does so before a note. */
function withSome(seen: Float64Array, others: Float64Array): Float64Array {
  const both = seen.slice();
  for (let at = SHORT; at < both.length; at += MANNERS)
    both[at] = (both[at] as number) + NEAR_LIKE * (others[at] as number);
  return both;
}

/** Shares of manners around each note: of the part, then of its neighbours; a note does not speak for itself. */
function sharesAround(seen: Float64Array, count: number, first: Shares): Float64Array {
  const shares = new Float64Array(count * MANNERS);
  const sums = new Float64Array((count + 1) * MANNERS);
  for (let at = 0; at < seen.length; at++) sums[at + MANNERS] = (sums[at] as number) + (seen[at] as number);
  const ofPart = sharesOfPart(sums.subarray(seen.length), first);
  for (let note = 0; note < count; note++) {
    const own = note * MANNERS;
    const from = Math.max(0, note - NEAR) * MANNERS;
    const to = Math.min(count, note + NEAR + 1) * MANNERS;
    let near = 0;
    for (let manner = 0; manner < MANNERS; manner++) {
      const others = (sums[to + manner] as number) - (sums[from + manner] as number) - (seen[own + manner] as number);
      shares[own + manner] = others;
      near += others;
    }
    for (let manner = 0; manner < MANNERS; manner++) {
      const others = shares[own + manner] as number;
      shares[own + manner] = (others + NEAR_TRUST * (ofPart[manner] as number)) / (near + NEAR_TRUST);
    }
  }
  return shares;
}

/** The ways of all notes one after another, as the rounds want them. */
interface Laid {
  /** Where the ways of each note begin, and where the last ones end. */
  readonly starts: Int32Array;
  /** By way, then manner: how likely what was heard is. */
  readonly playing: Float64Array;
  /** By way. */
  readonly priors: Float64Array<ArrayBuffer>;
  /** By way: 1 where something follows at once. */
  readonly isFollowed: Uint8Array;
}

function laidOut(notes: readonly Sounded[]): Laid {
  const starts = new Int32Array(notes.length + 1);
  for (const [index, { ways }] of notes.entries()) starts[index + 1] = (starts[index] as number) + ways.length;
  const count = starts[notes.length] as number;
  const playing = new Float64Array(count * MANNERS);
  const priors = new Float64Array(count);
  const isFollowed = new Uint8Array(count);
  let at = 0;
  for (const { ways } of notes) {
    const from = at;
    let whole = 0;
    for (const { measures, cost, canBeShort, follows } of ways) {
      for (const [kind, measure] of measures.entries()) {
        const weight = measures.length === 1 ? 1 : kind === 0 ? IN_TIME : 1 - IN_TIME;
        addDensities(measure, canBeShort, weight, playing, at * MANNERS);
      }
      isFollowed[at] = follows ? 1 : 0;
      priors[at] = Math.exp(-cost);
      whole += priors[at++] as number;
    }
    for (let way = from; way < at; way++) priors[way] = (priors[way] as number) / whole;
  }
  return { starts, playing, priors, isFollowed };
}

/** Writes the chance of every way; gives what all ways of each note came to. */
function weigh(
  { starts, playing, isFollowed }: Laid,
  known: Known,
  current: Float64Array,
  chances: Float64Array,
): Float64Array {
  const count = starts.length - 1;
  const wholes = new Float64Array(count);
  for (let note = 0; note < count; note++) {
    const own = note * MANNERS;
    const from = starts[note] as number;
    const to = starts[note + 1] as number;
    let whole = 0;
    for (let at = from; at < to; at++) {
      const shares = isFollowed[at] === 1 ? known.follows : known.rests;
      let sum = 0;
      for (let manner = 0; manner < MANNERS; manner++)
        sum += (shares[own + manner] as number) * (playing[at * MANNERS + manner] as number);
      const chance = sum * (current[at] as number);
      chances[at] = chance;
      whole += chance;
    }
    wholes[note] = whole;
    if (whole > 0) for (let at = from; at < to; at++) chances[at] = (chances[at] as number) / whole;
  }
  return wholes;
}

/** How likely each note was played in each manner. */
function mannersSeen(
  { starts, playing, isFollowed }: Laid,
  known: Known,
  current: Float64Array,
  wholes: Float64Array,
): Known {
  const seen: Known = {
    follows: new Float64Array(known.follows.length),
    rests: new Float64Array(known.rests.length),
  };
  for (let note = 0; note < wholes.length; note++) {
    const own = note * MANNERS;
    const whole = wholes[note] as number;
    if (whole <= 0) continue;
    for (let at = starts[note] as number; at < (starts[note + 1] as number); at++) {
      const follows = isFollowed[at] === 1;
      const shares = follows ? known.follows : known.rests;
      const into = follows ? seen.follows : seen.rests;
      for (let manner = 0; manner < MANNERS; manner++) {
        const one = (shares[own + manner] as number) * (playing[at * MANNERS + manner] as number);
        into[own + manner] = (into[own + manner] as number) + (one * (current[at] as number)) / whole;
      }
    }
  }
  return seen;
}

interface Chances {
  /** Of each way, all together 1. */
  readonly chances: ArrayLike<number>;
  /** The same number for notes that are held alike and mean the same length; -1 where a note stands for itself. */
  readonly alike: number;
}

/**
 * Chances of the ways of each note, all together 1. `struck`: notes that die away however long the key is down.
 */
export function chancesOf(notes: readonly Sounded[], struck: boolean): readonly Chances[] {
  const count = notes.length;
  const laid = laidOut(notes);
  const { starts, priors } = laid;
  const ways = priors.length;
  const figures = poolOf(notes, ways, ({ figure }) => figure);
  const places = poolOf(notes, ways, ({ figure, place }) => `${figure}@${place}`);
  const beforeNote = struck ? STRUCK_BEFORE_A_NOTE : BEFORE_A_NOTE;
  const nothing = new Float64Array(count * MANNERS);
  let known: Known = {
    follows: sharesAround(nothing, count, beforeNote),
    rests: sharesAround(nothing, count, BEFORE_A_REST),
  };
  const chances = new Float64Array(ways);
  let current = priors;
  for (let round = 0; round < ROUNDS + DECIDED_ROUNDS; round++) {
    const wholes = weigh(laid, known, current, chances);
    if (round === ROUNDS + DECIDED_ROUNDS - 1) break;
    const seen = mannersSeen(laid, known, current, wholes);
    const both = { follows: withSome(seen.follows, seen.rests), rests: withSome(seen.rests, seen.follows) };
    known = {
      follows: sharesAround(both.follows, count, beforeNote),
      rests: sharesAround(both.rests, count, mixed(BEFORE_A_REST, sharesOfPart(wholeOf(seen.follows), beforeNote))),
    };
    // As the same figure is read elsewhere in the part, first anywhere in the bar, then at this place of it.
    const read = round < ROUNDS - 1 ? chances : decided(starts, chances);
    current = pooled(starts, pooled(starts, priors, read, figures, FIGURE_TRUST), read, places, PLACE_TRUST);
  }
  const alike = settle(starts, chances, figures);
  follow(starts, chances, figures, alike);
  return notes.map((_, index) => ({
    chances: chances.subarray(starts[index], starts[index + 1]),
    alike: alike[index] as number,
  }));
}
