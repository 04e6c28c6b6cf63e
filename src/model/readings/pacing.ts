/** How the arrangement spends its forces over time. Bars are numbers; quarters and seconds as in the timeline. */

/**
 * What a phrase's beginning is known from: a section of the settings or the file; the foreground, which goes on after a rest
 * or a long note; or the fourth-bar count from the last section, an assumption for music that gives no other sign.
 */
export type PhraseSign = 'section' | 'melody' | 'fourth-bar';

export interface PhraseStart {
  readonly bar: number;
  /** Where its first note or bar begins. */
  readonly startQuarters: number;
  /** Bar line that it leads to: the same place where it has no upbeat. */
  readonly downbeatQuarters: number;
  readonly by: PhraseSign;
}

interface PacingEvent {
  readonly partId: string;
  readonly bar: number;
  readonly quarters: number;
  readonly second: number;
}

export interface EntryEvent extends PacingEvent {
  readonly kind: EntryKind;
  /** What it comes with: a new section, a phrase, or nothing. */
  readonly comesWith: 'section' | 'phrase' | 'nothing';
  /** Silence of the part before it, from the start of the piece for the first entry: whole silent bars, and seconds. */
  readonly restBars: number;
  readonly restSeconds: number;
  /** Since the entry before it, of any part; 0 where both come at one moment; missing for the first of all. */
  readonly sinceBars?: number;
  readonly sinceSeconds?: number;
}

export interface ExitEvent extends PacingEvent {
  readonly kind: ExitKind;
  /** Until it comes in again; missing where it does not. */
  readonly restBars?: number;
  readonly restSeconds?: number;
}

/** One bar of the texture. */
export interface TextureBar {
  readonly bar: number;
  readonly partIds: readonly string[];
  /** Parts that sound, those in unison or octaves with another counted once with it. */
  readonly lines: number;
  readonly families: readonly string[];
  /** Estimated level of all parts together, dB re 1 pW; missing where nothing sounds. */
  readonly levelDb?: number;
  readonly onsets: number;
}

/** Bars in which exactly the same parts sound. */
export interface TextureStep {
  readonly from: number;
  readonly to: number;
  readonly seconds: number;
  readonly partIds: readonly string[];
  readonly families: readonly string[];
  /** Medians of the bars. */
  readonly lines: number;
  readonly levelDb?: number;
  /** Against the step before. */
  readonly came: readonly string[];
  readonly went: readonly string[];
}

/** A stretch of a beat or more in which nobody sounds. */
export interface Silence {
  readonly from: number;
  readonly to: number;
  readonly startQuarters: number;
  readonly endQuarters: number;
  readonly second: number;
  readonly seconds: number;
}

/** The loudest bar by estimate, and the way to it. */
export interface Peak {
  readonly bar: number;
  readonly levelDb: number;
  readonly parts: number;
  /** Where it stands in the time of the piece, 0..1. */
  readonly share: number;
  /** The low point from which the music rises to it. */
  readonly risesFrom: number;
  readonly riseDb: number;
  readonly riseSeconds: number;
  /** Parts that come in on the way, in order. */
  readonly entering: readonly string[];
  /** True where most of the rise happens from the bar before to the peak. */
  readonly isSudden: boolean;
}

/** How much a part plays. */
export interface PartRest {
  readonly partId: string;
  readonly soundingBars: number;
  readonly silentBars: number;
  /** Longest run of whole silent bars between two of its spans, first and last bar; missing where there is none. */
  readonly longestRest?: { readonly from: number; readonly to: number };
  /** Longest run without a whole silent bar. */
  readonly longestRun: { readonly from: number; readonly to: number };
}

export interface SectionPacing {
  readonly name: string;
  readonly from: number;
  readonly to: number;
  readonly seconds: number;
  /** Parts that sound in at least a quarter of its bars. */
  readonly partIds: readonly string[];
  readonly families: readonly string[];
  /** Means of the bars. */
  readonly parts: number;
  readonly lines: number;
  readonly onsetsPerSecond: number;
  /** Median estimated level of its bars. */
  readonly levelDb?: number;
  readonly low?: number;
  readonly high?: number;
  /** Against the section before it; missing for the first. */
  readonly contrast?: {
    /** Share of the parts of either that both have, 0..1. */
    readonly sharedParts: number;
    readonly partsChange: number;
    readonly levelChangeDb?: number;
    /** Ratio of onsets per second. */
    readonly paceRatio?: number;
  };
}

export interface PacingReading {
  readonly phrases: readonly PhraseStart[];
  readonly entries: readonly EntryEvent[];
  readonly exits: readonly ExitEvent[];
  readonly bars: readonly TextureBar[];
  readonly steps: readonly TextureStep[];
  readonly silences: readonly Silence[];
  readonly rests: readonly PartRest[];
  readonly sections: readonly SectionPacing[];
  /** Missing where nothing sounds. */
  readonly peak?: Peak;
}

export type EntryKind = 'from-nothing' | 'at-once' | 'under-sounding-note';

export type ExitKind = 'to-nothing' | 'at-once' | 'under-sounding-note';
