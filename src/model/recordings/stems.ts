/** Recordings of single parts or groups of parts, as a mock-up was bounced, with what was measured of them beat by beat. */

export interface StemBeat {
  /** LUFS; absent where the recording is silent or does not reach. */
  readonly levelDb?: number;
  /** Power by auditory band of one ERB, dB; empty where there is no level. */
  readonly bandsDb: readonly number[];
}

export interface Stem {
  /** Path in the input folder. */
  readonly file: string;
  /** Parts that it holds, in score order. */
  readonly partIds: readonly string[];
  /** How the file holds its sound: `WAV, 24 bits`. */
  readonly form: string;
  readonly rateHz: number;
  readonly channelCount: number;
  readonly seconds: number;
  /** Second of the recording at which the stage's first bar begins. */
  readonly offsetSeconds: number;
  /** Of the whole, gated (ITU-R BS.1770-5); absent where it is silent. */
  readonly integratedDb?: number;
  /** In the order of the stage's beats. */
  readonly beats: readonly StemBeat[];
}
