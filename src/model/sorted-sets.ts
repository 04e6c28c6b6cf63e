/** Sets of numbers as sorted lists, which are quick to compare. */

/** Each number once, ascending. */
export function distinct(numbers: readonly number[]): readonly number[] {
  if (numbers.every((number, index) => index === 0 || number > (numbers[index - 1] ?? number))) return numbers;
  return [...numbers].sort((a, b) => a - b).filter((number, index, sorted) => number !== sorted[index - 1]);
}

/** Harmonic mean of precision and recall of two sets, each sorted; 1 where both are empty. */
export function overlap(one: ArrayLike<number>, other: ArrayLike<number>): number {
  const total = one.length + other.length;
  if (total === 0) return 1;
  let shared = 0;
  for (let i = 0, j = 0; i < one.length && j < other.length;) {
    const difference = (one[i] ?? 0) - (other[j] ?? 0);
    if (difference === 0) shared++;
    if (difference <= 0) i++;
    if (difference >= 0) j++;
  }
  return (2 * shared) / total;
}
