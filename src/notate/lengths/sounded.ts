/** A note whose value is to be found, and the values that it may have. */
import type { Measure } from './playing-manners.ts';

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
  /** It may have a dot of staccato. */
  readonly canBeShort: boolean;
}

/** A note, or notes struck together, whose value is to be found. */
export interface Sounded {
  readonly onset: number;
  /** The next onset on its staff, in divisions. */
  readonly next: number | undefined;
  readonly ways: readonly Way[];
  /** How long the key was down, in divisions. */
  readonly held: number;
  /** What figures of its kind have in common. */
  readonly figure: string;
  /** Its place in the bar. */
  readonly place: string;
}
