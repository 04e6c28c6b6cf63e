/**
 * Folders of many kinds, each with the truth about it. Who writes a folder writes its truth from the music, never from what the program says.
 * Bars count as a musician counts (a pickup is bar 0), quarters from the start of bar 1. Tracks are named as in the last stage, which alone is judged.
 */

/** First and last bar, both included. */
export type Bars = readonly [from: number, to: number];

export interface TrueNote {
  readonly track: string;
  /** Written place and length, in quarters. */
  readonly start: number;
  readonly length: number;
  /** Sounding. */
  readonly midi: number;
  /** Written with a staccato dot. */
  readonly short?: true;
  /** Sounding pitch as spelled, `Bb4`; undefined for drums and effects. */
  readonly pitch?: string;
}

export interface TrueChord {
  readonly bar: number;
  readonly start: number;
  readonly length: number;
  readonly symbol: string;
}

/** Who leads a phrase; several tracks where the lead is shared or doubled, or where good listeners would differ. */
export interface TrueLead {
  readonly tracks: readonly string[];
  readonly bars: Bars;
}

export interface PlantedFlaw {
  readonly id: string;
  readonly bars: Bars;
  /** Tracks of which a finding should name one; empty where a finding need name none (a chord without its third). */
  readonly parts: readonly string[];
  /** Names of rules that say it; empty where the project has none yet. */
  readonly rules: readonly string[];
  /** What an arranger would say. */
  readonly say: string;
  /** False: worth a word at most, and not counted among the flaws to be found. */
  readonly weigh: boolean;
}

/** Something that must not be said, because it is right as it is. A planted flaw goes before it. */
export interface CleanPoint {
  /** Rules that would be wrong to fire; `any` for all. */
  readonly rules: readonly string[] | 'any';
  /** Tracks of which the finding names one; left out: whatever it names. */
  readonly parts?: readonly string[];
  /** Bars that hold the whole finding; left out: the piece. */
  readonly bars?: Bars;
  readonly say: string;
}

export interface KindTruth {
  /** Acceptable catalogue ids by track; an empty list: no instrument with pitches (effects, clicks), whatever is said. */
  readonly parts: Readonly<Record<string, readonly string[]>>;
  /** Players by track; `section` where several play and nobody says how many. Tracks left out are not counted. */
  readonly players: Readonly<Record<string, number | 'section'>>;
  readonly notes: readonly TrueNote[];
  readonly chords?: readonly TrueChord[];
  readonly meters: readonly { readonly fromBar: number; readonly numerator: number; readonly denominator: number }[];
  readonly keys: readonly { readonly fromBar: number; readonly tonic: string; readonly mode: 'major' | 'minor' }[];
  /** Played to the click. */
  readonly onGrid: boolean;
  /** Long to short of a pair of eighths, 1 for even ones. */
  readonly swing: number;
  readonly style: 'classical' | 'song' | 'jazz' | 'score';
  readonly front: readonly TrueLead[];
  readonly flaws: readonly PlantedFlaw[];
  readonly clean: readonly CleanPoint[];
}

export interface KindFolder {
  readonly id: string;
  /** What the folder is, in one sentence. */
  readonly trade: string;
  /** Constants may be set on the tuning half; what is kept aside was written apart by another hand and is only looked at last. */
  readonly half: 'tuning' | 'kept-aside';
  /** Content by path inside the folder; `seed` draws the timing and the hands anew. */
  readonly files: (seed: number) => ReadonlyMap<string, Uint8Array | string>;
  readonly truth: KindTruth;
}
