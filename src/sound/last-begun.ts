/** Looking up what lies in order of time. */

/** Index of the last item that begins at or before a second, by halving; -1 where none does. */
export function lastBegun<T>(items: readonly T[], second: number, startOf: (item: T) => number): number {
  let low = 0;
  let high = items.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (startOf(items[middle] as T) <= second) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}
