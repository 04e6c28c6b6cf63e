/** Balance as it was measured on recordings of parts. Levels are LUFS (ITU-R BS.1770-5), medians over the beats of a bar. */

export interface MeasuredBar {
  readonly bar: number;
  /** Of foreground and background, where every part that plays in the bar was recorded, and no recording holds parts of both. */
  readonly foregroundDb?: number;
  readonly backgroundDb?: number;
  readonly marginDb?: number;
  /** Share of the foreground's power under what the background leaves in the auditory filters, 0..1, from the spectra. */
  readonly maskedShare?: number;
  /** Level by recorded group (index into `groups`), sounding ones only. */
  readonly groupsDb: readonly (number | undefined)[];
}

/** Parts that share a recording, or several. */
export interface MeasuredGroup {
  readonly partIds: readonly string[];
  readonly files: readonly string[];
}

/** Bars in which a group lies otherwise among the others than its notes say. */
export interface LevelDifference {
  readonly group: number;
  readonly from: number;
  readonly to: number;
  /** Measured over estimated, dB; louder than its notes say is positive. */
  readonly db: number;
}

export interface MeasuredReading {
  readonly groups: readonly MeasuredGroup[];
  readonly bars: readonly MeasuredBar[];
  /** What is added to LUFS so that the recordings as a whole stand where the estimates do: the median over groups and bars. */
  readonly toEstimateDb: number;
  /** Each group over the whole piece: median of measured over estimated, dB. */
  readonly groupDifferencesDb: readonly (number | undefined)[];
  readonly differences: readonly LevelDifference[];
}
