/** What was measured of a recording, beat by beat. */
import { beatsOf } from '../../model/music/beats.ts';
import type { StemBeat } from '../../model/recordings/stems.ts';
import { secondAt } from '../../model/music/timeline.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { BAND_COUNT } from '../../sound/measure/band-spectrum.ts';
import { lufs, STEP_SECONDS } from '../../sound/measure/loudness.ts';
import type { SoundMeasure } from '../../sound/measure/sound-meter.ts';
import { BANDS_SECONDS } from '../../sound/measure/sound-meter.ts';

/** What is softer counts as silence, as at the gate of ITU-R BS.1770-5. */
const SILENCE_DB = -70;
/** Under this a band is empty. */
const EMPTY_DB = -120;

function tenths(db: number): number {
  return Math.round(db * 10) / 10;
}

/** Mean of a row between two seconds; undefined where it does not reach so far. */
function meanBetween(row: Float32Array, stepSeconds: number, from: number, to: number): number | undefined {
  const first = Math.max(0, Math.round(from / stepSeconds));
  const last = Math.min(row.length, Math.max(first + 1, Math.round(to / stepSeconds)));
  if (to <= 0 || last <= first) return undefined;
  return row.subarray(first, last).reduce((sum, power) => sum + power, 0) / (last - first);
}

function bandsBetween({ bandPowers }: SoundMeasure, from: number, to: number): readonly number[] {
  const looks = bandPowers.length / BAND_COUNT;
  const first = Math.min(looks - 1, Math.max(0, Math.round(from / BANDS_SECONDS)));
  const last = Math.min(looks, Math.max(first + 1, Math.round(to / BANDS_SECONDS)));
  if (looks === 0) return [];
  return Array.from({ length: BAND_COUNT }, (_, band) => {
    let sum = 0;
    for (let look = first; look < last; look++) sum += bandPowers[look * BAND_COUNT + band] ?? 0;
    return tenths(Math.max(EMPTY_DB, 10 * Math.log10(sum / (last - first))));
  });
}

/** Levels and bands in the beats of a stage whose first bar begins at this second of the recording. */
export function beatsOfSound(measure: SoundMeasure, timeline: Timeline, offsetSeconds: number): readonly StemBeat[] {
  return beatsOf(timeline).map(({ startQuarters, lengthQuarters }) => {
    const from = secondAt(timeline, startQuarters) + offsetSeconds;
    const to = secondAt(timeline, startQuarters + lengthQuarters) + offsetSeconds;
    const power = meanBetween(measure.stepPowers, STEP_SECONDS, from, to);
    const levelDb = power === undefined ? Number.NEGATIVE_INFINITY : lufs(power);
    if (levelDb < SILENCE_DB) return { bandsDb: [] };
    return { levelDb: tenths(levelDb), bandsDb: bandsBetween(measure, from, to) };
  });
}
