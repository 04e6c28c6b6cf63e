/** What is kept of a recording. */
import type { SoundMeasure } from '../../sound/measure/sound-meter.ts';

export interface MeasuredSound {
  readonly sha256: string;
  readonly form: string;
  readonly rateHz: number;
  readonly channelCount: number;
  readonly measure: SoundMeasure;
}
