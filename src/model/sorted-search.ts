/** Places in sorted lists, found by halving. */

/** Index of the first item that has reached what is looked for, the number of items where none has; every later item has reached it too. */
export function firstReaching<T>(items: ArrayLike<T>, hasReached: (item: T) => boolean): number {
  let low = 0;
  let high = items.length;
  while (low < high) {
    const centre = (low + high) >> 1;
    if (hasReached(items[centre] as T)) high = centre;
    else low = centre + 1;
  }
  return low;
}

/**
 * Index of the last item that starts at or before a position; 0 where none does, also in an empty list. Asked for every note many times over: it
 * makes no function of its own.
 */
export function lastAtOrBefore<T>(items: ArrayLike<T>, position: number, startOf: (item: T) => number): number {
  let low = 0;
  let high = items.length;
  while (low < high) {
    const centre = (low + high) >> 1;
    if (startOf(items[centre] as T) <= position) low = centre + 1;
    else high = centre;
  }
  return low === 0 ? 0 : low - 1;
}

/** Place of the first note that starts at a position or after it, of notes in order; how many there are where none does. */
export function firstStartingAt(notes: readonly { readonly startQuarters: number }[], from: number): number {
  let low = 0;
  let high = notes.length;
  while (low < high) {
    const centre = (low + high) >> 1;
    if ((notes[centre]?.startQuarters ?? Infinity) >= from) high = centre;
    else low = centre + 1;
  }
  return low;
}

/** The notes that start at a place or after it and before another, of notes in order. */
export function startingWithin<T extends { readonly startQuarters: number }>(
  notes: readonly T[],
  from: number,
  to: number,
): readonly T[] {
  return notes.slice(firstStartingAt(notes, from), firstStartingAt(notes, to));
}
