/** How much of one measured spectrum lies under another, by auditory filters: `covered-share` for recordings. */
import { filterShare } from '../../../sound/erb.ts';
import type { Covered } from '../masking/covered-share.ts';

/** Filters further off than this let through less than -40 dB. */
const REACH = 3;

/** Powers by band of one ERB. What is covered is no stronger than what the others leave in the filter at its place. */
export function coveredSpectrum(foreground: Float64Array, background: Float64Array): Covered {
  let [coveredPower, foregroundPower] = [0, 0];
  foreground.forEach((power, band) => {
    foregroundPower += power;
    let left = 0;
    for (let offset = -REACH; offset <= REACH; offset++) left += (background[band + offset] ?? 0) * filterShare(offset);
    if (left >= power) coveredPower += power;
  });
  return { coveredPower, foregroundPower };
}
