/**
 * Readings: what `analyse` measures, and the findings `advise` draws from them. Names follow the data export.
 */

export type EntryKind = 'from-nothing' | 'at-once' | 'under-sounding-note';
export type ExitKind = 'to-nothing' | 'at-once' | 'under-sounding-note';

export interface RegisterReading {
  readonly partId: string;
  readonly bar: number;
  readonly low: number;
  readonly high: number;
  /** Duration-weighted mean sounding pitch, MIDI key number with fraction. */
  readonly centre: number;
}

/** A span of bars in which a part sounds without a whole silent bar. */
export interface PresenceSpan {
  readonly partId: string;
  /** First and last sounding bar. */
  readonly from: number;
  readonly to: number;
  readonly entry: EntryKind;
  readonly exit: ExitKind;
  /** Written place of the first onset and the last end of sound, in quarters from bar 1. */
  readonly firstQuarters: number;
  readonly lastQuarters: number;
}

/** Estimated level of a part in one beat; undefined parts are silent. */
export interface BeatBalance {
  readonly bar: number;
  readonly startQuarters: number;
  readonly lengthQuarters: number;
  readonly foregroundDb?: number;
  readonly backgroundDb?: number;
  readonly marginDb?: number;
  /** Estimated level in dB by part id, sounding parts only. */
  readonly partsDb: Readonly<Record<string, number>>;
}

/** One bar: medians over its beats. Values are missing where nothing sounds on that side. */
export interface BarBalance {
  readonly bar: number;
  readonly foregroundDb?: number;
  readonly backgroundDb?: number;
  readonly marginDb?: number;
  /** Share of the foreground's energy under the background's excitation, 0..1; only where both sound. */
  readonly coveredShare?: number;
  readonly partsDb: Readonly<Record<string, number>>;
}

/** How the level of a part was estimated, for "how it was measured". */
export interface LevelAssumption {
  readonly partId: string;
  /** One sentence: figures used and where they come from, or the assumption where no figure is published. */
  readonly text: string;
  /** True where no published figure exists and an assumption stands in. */
  readonly assumed: boolean;
}

export interface RangeNote {
  readonly bar: number;
  /** 1-based, with fraction. */
  readonly beat: number;
  readonly midi: number;
}

export interface RangeReading {
  readonly partId: string;
  /** Lowest and highest sounding pitch used. */
  readonly low: number;
  readonly high: number;
  readonly writtenLow: number;
  readonly writtenHigh: number;
  /** Limits used (sounding); undefined where the instrument is unknown. */
  readonly absolute?: { readonly low: number; readonly high: number };
  readonly comfortable?: { readonly low: number; readonly high: number };
  readonly outside: readonly RangeNote[];
  readonly edge: readonly RangeNote[];
  /** Source titles or "set for this player". */
  readonly sources: readonly string[];
}

export interface Doubling {
  readonly partIds: readonly [string, string];
  /** `unison`, `octave`, `two-octaves`, `third`, `sixth`; the second part relative to the first. */
  readonly interval: string;
  readonly semitones: number;
  readonly from: number;
  readonly to: number;
}

export interface ChordCoverage {
  /** Index into the stage's chords. */
  readonly chord: number;
  /** Pitch class 0..11 (as text) to ids of the parts that sound it. */
  readonly covered: Readonly<Record<string, readonly string[]>>;
  /** Pitch classes of the chord that nobody sounds. */
  readonly missing: readonly number[];
}

export interface MelodyNote {
  readonly startQuarters: number;
  readonly lengthQuarters: number;
  readonly midi: number;
  readonly partId: string;
}

export interface StageReadings {
  readonly stageId: string;
  readonly register: readonly RegisterReading[];
  readonly presence: readonly PresenceSpan[];
  readonly beats: readonly BeatBalance[];
  readonly balance: readonly BarBalance[];
  readonly levelAssumptions: readonly LevelAssumption[];
  readonly ranges: readonly RangeReading[];
  readonly doublings: readonly Doubling[];
  readonly coverage: readonly ChordCoverage[];
  readonly melody: readonly MelodyNote[];
}

export type FindingLevel = 'fix' | 'look' | 'note';

export interface Finding {
  /** A rule name fixed by the data contract, e.g. `outside-range`. */
  readonly rule: string;
  readonly level: FindingLevel;
  readonly from: number;
  readonly to: number;
  readonly partIds: readonly string[];
  /** What was measured, in the musician's words; plain text. */
  readonly message: string;
  /** What one might do; defers to the player and the arranger. */
  readonly advice: string;
  /** Source, or `common practice, no source`. */
  readonly source: string;
  /** Reason given in the settings, where the finding was judged and accepted. */
  readonly accepted?: string;
}

/** What changed from one stage to the next. */
export interface StageChange {
  readonly before: string;
  readonly after: string;
  readonly parts: {
    readonly added: readonly string[];
    readonly removed: readonly string[];
    readonly changed: readonly { readonly partId: string; readonly bars: readonly number[] }[];
  };
  /** Bar numbers in which anything differs. */
  readonly bars: readonly number[];
}
