/**
 * What the searches of notation are asked and what they weigh, for who wants to know why a note is written as it is (`npm run why`). Nobody
 * listens while a dossier is built: nothing is kept then and nothing costs.
 */
import type { Part } from '../model/music/arrangement.ts';
import type { Sounded } from './lengths/sounded.ts';
import type { Frame } from './chords/chord-frames.ts';
import type { ChordRules } from './chords/chord-rules.ts';
import type { PartStreams } from './rhythm/onsets-by-hand.ts';
import type { SearchCosts } from './rhythm/straight-or-triplet.ts';
import type { Spelling, TellVotes } from './spelling/spelling.ts';

/** The last reading of a part's onsets: the same search gives the same path again, and another where a place is taken away. */
export interface OnsetQuestion {
  readonly parts: PartStreams;
  /** By stream. */
  readonly costs: readonly SearchCosts[];
}

/** The values open to the notes of a staff that wait for one; what rings to the next note is not among them. */
export interface ValueQuestion {
  readonly part: Part;
  /** Indices into the part's notes, struck together. */
  readonly notes: readonly number[];
  readonly sounded: Sounded;
  /** Chance of each way, all together 1. */
  readonly chances: readonly number[];
}

/** What the search for chords is asked. */
export interface ChordQuestion {
  readonly frames: readonly Frame[];
  readonly pullOf: (barIndex: number) => readonly number[];
  readonly rules: ChordRules;
}

/** How pitches are spelled by the tonics around them, and after chords, scale and resolution had their say. */
export interface SpellingQuestion {
  readonly byTonics: Spelling;
  readonly spelled: Spelling;
}

/** Who listens; each is called when the step has decided, the chords as often as they are read (the last counts). */
export interface Explain {
  readonly onsets?: (question: OnsetQuestion) => void;
  readonly values?: (question: ValueQuestion) => void;
  readonly chords?: (question: ChordQuestion) => void;
  readonly votes?: TellVotes;
  readonly spelling?: (question: SpellingQuestion) => void;
}
