/** Weighted power of a recording in steps of 10 ms (ITU-R BS.1770-5): what every figure of loudness is made of. */
import { growing } from './growing.ts';
import { kSquares } from './k-filter.ts';
import { channelWeight, STEP_SECONDS } from './loudness.ts';

export interface StepPowers {
  /** All channels of the next stretch, of one length. */
  readonly add: (block: readonly Float32Array[]) => void;
  readonly taken: () => Float32Array;
}

export function stepPowers(rateHz: number, channelCount: number): StepPowers {
  const filters = Array.from({ length: channelCount }, () => kSquares(rateHz));
  const weights = filters.map((_, place) => channelWeight(place, channelCount));
  const powers = growing();
  const endOf = (step: number): number => Math.round((step + 1) * STEP_SECONDS * rateHz);
  let frames = 0;
  let step = 0;
  let sum = 0;
  const add = (block: readonly Float32Array[]): void => {
    const length = block[0]?.length ?? 0;
    for (let from = 0; from < length;) {
      const left = endOf(step) - frames - from;
      const to = Math.min(length, from + left);
      for (let channel = 0; channel < channelCount; channel++) {
        const weight = weights[channel] as number;
        sum += weight * (filters[channel]?.(block[channel] as Float32Array, from, to) ?? 0);
      }
      if (to === from + left) {
        powers.push(sum / (endOf(step) - (step === 0 ? 0 : endOf(step - 1))));
        sum = 0;
        step++;
      }
      from = to;
    }
    frames += length;
  };
  return { add, taken: powers.taken };
}
