/** How the notes are spread between high and low. Pitches are sounding MIDI key numbers, bars are numbers. */
import type { Family } from '../music/instrument.ts';

/** The background parts of one family in one bar, taken together. */
export interface FamilyEnvelope {
  readonly family: Family;
  readonly bar: number;
  readonly low: number;
  readonly high: number;
  /** Mean of the parts' mean pitches. */
  readonly centre: number;
  /**
   * Empty semitones to the foreground in that bar: negative below it, positive above, 0 where the two touch or overlap; missing
   * where the foreground is silent.
   */
  readonly distance?: number;
  /**
   * The distance is from the tune, the foreground's top line, since the foreground plays chords or can: its whole compass would
   * take in the hands that accompany. Absent where it is from all notes of the foreground.
   */
  readonly isFromTune?: true;
}

/** Notes that sound at once in one octave (4 is C4 to B4), mean over the bar's length. */
export interface OctaveCrowding {
  readonly bar: number;
  readonly octave: number;
  readonly notes: number;
}

/** The widest space between two neighbouring notes of the whole texture; the median over the sounding time of the bar. */
export interface OpenSpace {
  readonly bar: number;
  readonly low: number;
  readonly high: number;
}

/** The worst interval of a bar that lies lower than the table of low intervals has it clear. */
export interface LowInterval {
  readonly bar: number;
  readonly low: number;
  readonly high: number;
  readonly partIds: readonly string[];
  /** Semitones under the table's limit. */
  readonly under: number;
  /** Distance of the two fundamentals in auditory bandwidths (ERB); well under 1 they beat in one band. */
  readonly bandwidths: number;
  /** Quarters of the bar in which some interval lies under its limit. */
  readonly quarters: number;
}

export interface SpacingReading {
  readonly families: readonly FamilyEnvelope[];
  readonly octaves: readonly OctaveCrowding[];
  readonly spaces: readonly OpenSpace[];
  readonly lowIntervals: readonly LowInterval[];
}
