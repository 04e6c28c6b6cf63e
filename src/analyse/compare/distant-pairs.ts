/** Which stages are compared beyond each with the next. */

/** With more stages only the first and the current one are compared with all others: pages grow with the square. */
const MOST_STAGES = 12;

/** Pairs of indices of stages that do not follow one another, the earlier one first. */
export function distantPairs(stageCount: number): readonly (readonly [number, number])[] {
  const last = stageCount - 1;
  const pairs: (readonly [number, number])[] = [];
  for (let before = 0; before < last; before++) {
    for (let after = before + 2; after <= last; after++) {
      if (stageCount <= MOST_STAGES || before === 0 || after === last) pairs.push([before, after]);
    }
  }
  return pairs;
}
