/**
 * A stage as it is played in the page: pitch, time and level of every note, and nothing of how instruments really sound. This folder imports
 * nothing but itself, as the page plays with it what tests render with it.
 */

/** What a line sounds like: one waveform and one attack for each family. */
export type Timbre = 'blown' | 'brass' | 'bowed' | 'plucked' | 'struck' | 'sung' | 'bars' | 'noise' | 'plain';

export interface SketchNote {
  /** Seconds from the first bar, as performed. */
  readonly start: number;
  /** Where the sound is stopped. */
  readonly end: number;
  /** Sounding MIDI key number. */
  readonly midi: number;
  /** Level at its start where the line's shape is 0, dB re 1 pW. */
  readonly levelDb: number;
  /** True where its part is in the foreground in the bar in which it begins. */
  readonly isFront: boolean;
}

/** The notes of one track of a part. */
export interface SketchLine {
  /** Index into the parts of the sketch. */
  readonly part: number;
  readonly timbre: Timbre;
  /** Fall of every note after its start, dB a second; 0 where the tone is held. */
  readonly decayDbPerSecond: number;
  /** What controllers add at a moment, dB; straight lines between these points, level before the first and after the last. Empty for none. */
  readonly shape: readonly { readonly second: number; readonly db: number }[];
  /** Sorted by start. */
  readonly notes: readonly SketchNote[];
}

export interface SketchBar {
  /** As a musician counts; a pickup is 0. */
  readonly number: number;
  readonly start: number;
  readonly end: number;
}

export interface SketchPart {
  /** The same for the same part in every stage. */
  readonly id: string;
  /** Untrusted text. */
  readonly name: string;
}

export interface Sketch {
  readonly stageId: string;
  readonly title: string;
  /** 1-based. */
  readonly order: number;
  /** Level of all parts together in the loudest beat, dB re 1 pW. */
  readonly loudestDb: number;
  readonly bars: readonly SketchBar[];
  readonly parts: readonly SketchPart[];
  readonly lines: readonly SketchLine[];
}
