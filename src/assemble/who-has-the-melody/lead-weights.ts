/**
 * How much each sign of a leader counts. Set by a conditional logit over beats and then by a search over single weights, on halves kept for
 * tuning only: seven songs whose parts are unnamed, ten textures of our own, five folders of many kinds, and three movements with
 * annotations of others (`tests/bench/fit-leader.ts`); rounded by hand. `npm run bench:accuracy -- leader` prints both halves.
 */
import type { Sign } from './lead-signs.ts';

/** Log odds that a sign brings, by the sign's unit. */
export const WEIGHTS: Readonly<Record<Sign, number>> = {
  height: 1,
  octaveAbove: -0.5,
  top: 1,
  lowest: 0.3,
  strength: 1.25,
  sounding: 1,
  density: 0.35,
  runs: -1,
  stepwise: 1.1,
  pitchEntropy: 0.6,
  intervalEntropy: 0.9,
  rhythmEntropy: 2.2,
  zigzag: -1.6,
  repeated: -0.25,
  held: -1.5,
  offBeat: -0.8,
  chords: -2.2,
  repetition: -1.3,
  still: -1,
};

/** Odds of a part that its notes do not tell, in the same unit. */
export const KNOWN = {
  /** A soloist so named leads where it plays, a singer with words before all others (common practice, no source). */
  solo: 3,
  sung: 6,
  /** A choir before what accompanies it; tracks named as lead, and those named as pad, ostinato, backing and the like (the same). */
  chorus: 3,
  lead: 2,
  behind: -2,
  /** A descant goes above a tune that others keep, in livelier notes than theirs (the same). */
  descant: -4,
  /** Second parts lead less often than first ones, the first violins of an orchestra more often than anybody. */
  second: -0.8,
  firstViolins: 0.6,
  /** Has the tune of the stage before, which its leader left to it: more than the name of a soloist, less than words (a convention of ours). */
  given: 4,
} as const;

/** Basses and drums lead now and then, less often than others (common practice, no source). */
export const SELDOM: ReadonlyMap<string, number> = new Map([
  ['double-bass', 1.2],
  ['bass-guitar', 1.2],
  ['synth-bass', 1.2],
  ['tuba', 0.8],
  ['contrabassoon', 1.2],
  ['trombone-bass', 0.8],
  ['timpani', 2.5],
]);

export const SEARCH = {
  /** Odds of a part that rests, against one whose signs are all nothing. */
  resting: -0.5,
  /** By how much the odds of one beat count, as neighbouring beats say much the same. */
  beatWeight: 0.5,
  /** What it costs to leave a part, and again to take one up: in the middle of its phrase; where a phrase begins; where a section does. */
  withinPhrase: 2.5,
  atPhrase: 1,
  atSection: 0.5,
} as const;
