/** What is found of ornaments in a part, and the reading of a stream that they are found in. */

/** A rolled chord: its notes in the order played. */
export interface Roll {
  readonly notes: readonly number[];
  readonly direction: 'up' | 'down';
}

/** A trill or an unmeasured tremolo; for a tremolo by turns between two keys, `partner` is written with the main note. */
export interface TrillOrTremolo {
  readonly sign: 'trill' | 'tremolo';
  readonly main: number;
  readonly partner?: number;
  readonly covers: readonly number[];
  /** When the last of its notes ends. */
  readonly endSecond: number;
}

/** What a first reading says of one stream of a part. */
export interface StreamReading {
  /** Note indices in the order played. */
  readonly notes: readonly number[];
  /** Written place of each note of the part, in divisions. */
  readonly positions: readonly number[];
  readonly spreadMs: number;
  readonly millisecondsPerDivision: (position: number) => number;
}
