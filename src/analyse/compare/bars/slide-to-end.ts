/** Which of two equal passages is the new one: where the music ends as it ended before it was made longer, its end was added. */
import type { BarContent } from './bar-content.ts';
import { isSameBar } from './bar-likeness.ts';

/** Bars of one stage that stand in another, in both directions by index; -1 where they do not. */
interface Places {
  readonly afterOf: readonly number[];
  readonly beforeOf: readonly number[];
}

/**
 * New bars before an end that is written like them, moved behind it: a closing passage that is there twice was written once more. Only where all
 * that follows them to the end of the piece is as it was. The same places where nothing is to be moved.
 */
export function slidToEnd(
  { afterOf, beforeOf }: Places,
  before: readonly BarContent[],
  after: readonly BarContent[],
): Places {
  const from = beforeOf.findIndex((bar, index) => bar < 0 && beforeOf.slice(index).some((later) => later >= 0));
  if (from < 0) return { afterOf, beforeOf };
  let gap = from;
  while ((beforeOf[gap] ?? 0) < 0 && gap < beforeOf.length) gap++;
  const count = gap - from;
  const first = beforeOf[gap] ?? -1;
  const length = beforeOf.length - gap;
  // All old bars from there on follow one another to both ends.
  const isEnd = first + length === before.length && beforeOf.slice(gap).every((bar, index) => bar === first + index);
  const isOld = from === 0 ? first === 0 : beforeOf[from - 1] === first - 1;
  if (!isEnd || !isOld) return { afterOf, beforeOf };
  for (let step = 0; step < length; step++)
    if (!isSameBar(before[first + step], after[from + step])) return { afterOf, beforeOf };
  const moved = beforeOf.slice(0, from).concat(
    Array.from({ length }, (_, step) => first + step),
    Array.from({ length: count }, () => -1),
  );
  return { beforeOf: moved, afterOf: afterOf.map((bar, index) => (index >= first ? from + index - first : bar)) };
}

/**
 * New bars before bars that are written like them all, moved behind these: what is there twice was played first and then once more. A gap at a
 * time, from the front.
 */
export function slidBehind(
  { afterOf, beforeOf }: Places,
  before: readonly BarContent[],
  after: readonly BarContent[],
): Places {
  const [ofAfter, ofBefore] = [beforeOf.slice(), afterOf.slice()];
  for (let from = 0; from < ofAfter.length; from++) {
    if ((ofAfter[from] ?? 0) >= 0) continue;
    let gap = from;
    while (gap < ofAfter.length && (ofAfter[gap] ?? 0) < 0) gap++;
    const count = gap - from;
    const steps = Array.from({ length: count }, (_, step) => step);
    const first = ofAfter[gap] ?? -1;
    const isTwice =
      first >= 0 &&
      steps.every(
        (step) => ofAfter[gap + step] === first + step && isSameBar(before[first + step], after[from + step]),
      );
    if (isTwice) {
      for (const step of steps) {
        ofAfter[from + step] = first + step;
        ofBefore[first + step] = from + step;
      }
      for (const step of steps) ofAfter[gap + step] = -1;
      from = gap + count - 1;
    } else from = gap;
  }
  return { afterOf: ofBefore, beforeOf: ofAfter };
}
