/** The two filters of ITU-R BS.1770-5 at any rate, sample by sample. */
import { K_FILTERS, RATE_HZ } from '../k-weighting.ts';

type Three = readonly [number, number, number];

/** From powers of the delay to powers of the frequency variable of an analogue filter; the same way leads back. */
function throughBilinear([zero, one, two]: Three): Three {
  return [zero + one + two, 2 * (zero - two), zero - one + two];
}

/**
 * The filter whose response at another rate is that of the standard's coefficients at 48 kHz: the bilinear transform undone, and done again for the
 * other rate, both exact at the filter's own frequency.
 */
function atRate({ b, a }: { readonly b: Three; readonly a: Three }, rateHz: number): { b: Three; a: Three } {
  const [zero, , two] = throughBilinear(a);
  const own = Math.sqrt(zero / two);
  const ratio = own / Math.tan((Math.atan(own) * RATE_HZ) / rateHz);
  const moved = (filter: Three): Three => {
    const [constant, first, second] = throughBilinear(filter);
    return throughBilinear([constant, first * ratio, second * ratio ** 2]);
  };
  const [lead, ...rest] = moved(a);
  const scaled = (three: Three): Three => [three[0] / lead, three[1] / lead, three[2] / lead];
  return { b: scaled(moved(b)), a: scaled([lead, ...rest]) };
}

/** Weighs a channel and gives the sum of the squares between two places; what it heard before stays in the filters. */
export type KSquares = (samples: Float32Array, from: number, to: number) => number;

export function kSquares(rateHz: number): KSquares {
  const [shelf, high] = K_FILTERS.map((filter) => atRate(filter, rateHz));
  if (shelf === undefined || high === undefined) throw new Error('the standard has two filters');
  const remembered = new Float64Array(6);
  // All in local variables: what a function keeps from outside is ten times as slow to reach.
  return (samples, from, to) => {
    const [b0, b1, b2] = shelf.b;
    const [, a1, a2] = shelf.a;
    const [c0, c1, c2] = high.b;
    const [, d1, d2] = high.a;
    let [x1 = 0, x2 = 0, y1 = 0, y2 = 0, z1 = 0, z2 = 0] = remembered;
    let sum = 0;
    for (let index = from; index < to; index++) {
      const x = samples[index] as number;
      const y = b0 * x + b1 * x1 + b2 * x2 - a1 * y1 - a2 * y2;
      const z = c0 * y + c1 * y1 + c2 * y2 - d1 * z1 - d2 * z2;
      x2 = x1;
      x1 = x;
      y2 = y1;
      y1 = y;
      z2 = z1;
      z1 = z;
      sum += z * z;
    }
    // Numbers too small to matter make processors slow.
    const isSilent = Math.abs(y1) + Math.abs(z1) < 1e-30;
    remembered.set(isSilent ? [x1, x2, 0, 0, 0, 0] : [x1, x2, y1, y2, z1, z2]);
    return sum;
  };
}
