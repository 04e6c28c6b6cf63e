/** All that is measured of a recording in one pass over its samples, in memory that grows by 0.2 MB a minute. */
import { bandSpectrum, BAND_COUNT } from './band-spectrum.ts';
import { growing } from './growing.ts';
import { stepPowers } from './step-powers.ts';

/** The spectrum is looked at every so many seconds, and two looks after one another are put together. */
export const LOOK_SECONDS = 0.02;
const LOOKS_TOGETHER = 2;
export const BANDS_SECONDS = LOOK_SECONDS * LOOKS_TOGETHER;

/** Samples at full scale in a row that no music has by itself: the top was cut off. Our convention. */
const CUT_RUN = 3;
const FULL_SCALE = 0.9999;

/** Power under which a band counts as silent for onsets: 80 dB under full scale. */
const ONSET_FLOOR = 1e-8;

export interface SoundMeasure {
  readonly seconds: number;
  /** Weighted power (BS.1770-5, channels added) by steps of 10 ms. */
  readonly stepPowers: Float32Array;
  /** Mean square by band, `BAND_COUNT` after `BAND_COUNT`, every 40 ms. */
  readonly bandPowers: Float32Array;
  /** By how many dB the bands rise, added up, every 20 ms, each about the middle of its 20 ms. */
  readonly onsets: Float32Array;
  /** Largest sample. */
  readonly peak: number;
  /** Places where the top is cut off. */
  readonly cutPlaces: number;
}

export interface SoundMeter {
  /** All channels of the next stretch, of one length. */
  readonly add: (block: readonly Float32Array[]) => void;
  readonly end: () => SoundMeasure;
}

export function soundMeter(rateHz: number, channelCount: number): SoundMeter {
  const powers = stepPowers(rateHz, channelCount);
  const { size, look } = bandSpectrum(rateHz);
  const bandPowers = growing();
  const onsets = growing();
  const runs = new Uint32Array(channelCount);
  let peak = 0;
  let cutPlaces = 0;
  let frames = 0;

  const watchTop = (samples: Float32Array, channel: number): void => {
    let run = runs[channel] as number;
    for (const sample of samples) {
      const height = Math.abs(sample);
      if (height > peak) peak = height;
      run = height >= FULL_SCALE ? run + 1 : 0;
      if (run === CUT_RUN) cutPlaces++;
    }
    runs[channel] = run;
  };

  // What was not looked at yet; the first look has silence in its first half, so that each is about the middle of its step.
  let waiting = [new Float64Array(size), new Float64Array(size)] as const;
  let [first, filled] = [-size / 2, size / 2];
  let looks = 0;
  const together = new Float64Array(BAND_COUNT);
  const before = new Float64Array(BAND_COUNT).fill(ONSET_FLOOR);
  const lookAt = (bands: Float64Array): void => {
    let rise = 0;
    for (let band = 0; band < BAND_COUNT; band++) {
      const power = bands[band] as number;
      together[band] = (together[band] as number) + power / LOOKS_TOGETHER;
      const over = power + ONSET_FLOOR;
      if (over > (before[band] as number)) rise += 10 * Math.log10(over / (before[band] as number));
      before[band] = over;
    }
    onsets.push(rise);
    looks++;
    if (looks % LOOKS_TOGETHER === 0) {
      for (const power of together) bandPowers.push(power);
      together.fill(0);
    }
  };
  /** Where the look of a number begins: its middle is that of its stretch. */
  const lookFrom = (number: number): number => Math.round((number + 0.5) * LOOK_SECONDS * rateHz) - size / 2;
  const lookThrough = (block: readonly Float32Array[], length: number): void => {
    if (filled + length > waiting[0].length) {
      const kept = Math.min(filled, size);
      const moved = [new Float64Array(kept + length + size), new Float64Array(kept + length + size)] as const;
      moved.forEach((samples, side) => {
        samples.set((waiting[side] as Float64Array).subarray(filled - kept, filled));
      });
      waiting = moved;
      first += filled - kept;
      filled = kept;
    }
    const gain = Math.sqrt(channelCount === 1 ? 2 : 1);
    block.forEach((samples, channel) => {
      const side = waiting[channel % 2] as Float64Array;
      for (let index = 0; index < length; index++)
        side[filled + index] = (channel < 2 ? 0 : (side[filled + index] as number)) + gain * (samples[index] as number);
    });
    if (channelCount === 1) waiting[1].fill(0, filled, filled + length);
    filled += length;
    for (;;) {
      const from = lookFrom(looks);
      if (from + size > first + filled) return;
      lookAt(look(waiting[0], waiting[1], from - first));
    }
  };

  return {
    add: (block) => {
      const length = block[0]?.length ?? 0;
      powers.add(block);
      block.forEach(watchTop);
      lookThrough(block, length);
      frames += length;
    },
    end: () => {
      const seconds = frames / rateHz;
      const silence = Array.from({ length: channelCount }, () => new Float32Array(size));
      lookThrough(silence, size);
      return {
        seconds,
        stepPowers: powers.taken(),
        bandPowers: bandPowers.taken(),
        onsets: onsets.taken(),
        peak,
        cutPlaces,
      };
    },
  };
}
