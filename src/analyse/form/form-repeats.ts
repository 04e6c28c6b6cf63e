/** Stretches of bars that come again. */
import type { FormPart } from '../../model/readings/form.ts';
import type { BarSignature } from './bar-signatures.ts';
import { likenessOf } from './bar-signatures.ts';

/** Bars that are so much alike on average are a repeat; one that is less alike than this differs (ours, set on the folders for tuning). */
const REPEATED = 0.6;
const THE_SAME = 0.85;
/** Of the bars of a repeat at least so many are themselves somewhat alike. */
const SOMEWHAT = 0.4;
const MOST_OF_THEM = 0.7;
/** Bars by index, the second not included. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

interface Likeness {
  readonly mean: number;
  /** Indices of the later bars that differ. */
  readonly but: readonly number[];
}

/** How much the bars from `later` on are those from `earlier` on; undefined where they are no repeat. */
export function repeatOf(
  signatures: readonly BarSignature[],
  earlier: number,
  later: number,
  count: number,
): Likeness | undefined {
  let sum = 0;
  let near = 0;
  const but: number[] = [];
  for (let bar = 0; bar < count; bar++) {
    const [one, other] = [signatures[earlier + bar], signatures[later + bar]];
    const like = one === undefined || other === undefined ? 0 : likenessOf(one, other);
    sum += like;
    if (like >= SOMEWHAT) near++;
    if (like < THE_SAME) but.push(later + bar);
    if (sum + count - bar - 1 < REPEATED * count) return undefined;
  }
  return count > 0 && sum >= REPEATED * count && near >= MOST_OF_THEM * count ? { mean: sum / count, but } : undefined;
}

function asOf(
  signatures: readonly BarSignature[],
  numberOf: (index: number) => number,
  earlier: Span,
  later: Span,
): FormPart['as'] {
  const count = Math.min(earlier.to - earlier.from, later.to - later.from);
  const like = repeatOf(signatures, earlier.from, later.from, count);
  if (like === undefined) return undefined;
  const beyond = Array.from({ length: later.to - later.from - count }, (_, index) => later.from + count + index);
  return {
    from: numberOf(earlier.from),
    to: numberOf(earlier.from + count - 1),
    but: [...like.but, ...beyond].map(numberOf),
  };
}

/** The earlier stretch that one repeats with the fewest differences. */
export function bestAs(
  signatures: readonly BarSignature[],
  numberOf: (index: number) => number,
  earlier: readonly Span[],
  later: Span,
): FormPart['as'] {
  let best: FormPart['as'];
  for (const span of earlier) {
    const as = asOf(signatures, numberOf, span, later);
    if (as !== undefined && (best === undefined || as.but.length < best.but.length)) best = as;
  }
  return best;
}
