/** How much of one measured spectrum lies under another, by auditory filters: `covered-share` for recordings. */
import { filterShare } from '../../../sound/erb.ts';
import type { Covered } from '../masking/covered-share.ts';

/** Filters further off than this let through less than -40 dB. */
const REACH = 3;

/** What a spectrum leaves in the filter at each of so many bands; powers by band of one ERB. */
export function throughFilters(powers: Float64Array, bandCount: number): Float64Array {
  return Float64Array.from({ length: bandCount }, (_, band) => {
    let left = 0;
    for (let offset = -REACH; offset <= REACH; offset++) left += (powers[band + offset] ?? 0) * filterShare(offset);
    return left;
  });
}

/** What is covered is no stronger than what the others leave in the filter at its place. */
export function coveredSpectrum(foreground: Float64Array, background: Float64Array): Covered {
  const left = throughFilters(background, foreground.length);
  let [coveredPower, foregroundPower] = [0, 0];
  foreground.forEach((power, band) => {
    foregroundPower += power;
    if ((left[band] as number) >= power) coveredPower += power;
  });
  return { coveredPower, foregroundPower };
}
