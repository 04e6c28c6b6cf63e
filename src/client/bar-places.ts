/** Where the bars of a page are shown: in its scores and charts. */

/** Bars as they are shown; anchors, to which links lead, show nothing. */
export const SHOWN_BARS = '[data-bar]:not(.bar-anchor)';

/** Shown bars by their numbers. */
export function byBar(shown: readonly Element[]): ReadonlyMap<string, readonly Element[]> {
  const places = new Map<string, Element[]>();
  for (const element of shown) {
    const bar = element.getAttribute('data-bar') ?? '';
    const sameBar = places.get(bar);
    if (sameBar === undefined) places.set(bar, [element]);
    else sameBar.push(element);
  }
  return places;
}

/** Numbers of the first and the last of some bars. */
export function firstAndLast(bars: readonly Element[]): readonly [first: number, last: number] {
  const numbers = bars.map((bar) => Number(bar.getAttribute('data-bar')));
  return [Math.min(...numbers), Math.max(...numbers)];
}
