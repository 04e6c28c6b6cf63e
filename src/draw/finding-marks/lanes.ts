/** Lays marks that may overlap into as few lanes as they need. */

/** Space between two marks of one lane. */
const GAP = 3;

/**
 * The lane of each item, 0 at the top: each goes into the first lane that is free where it begins, else, where `mostLanes` are taken, into
 * the one that is free soonest. Items are to be sorted by `left`.
 */
export function lanesOf(
  items: readonly { readonly left: number; readonly right: number }[],
  mostLanes = Infinity,
): readonly number[] {
  const freeFrom: number[] = [];
  return items.map(({ left, right }) => {
    let lane = freeFrom.findIndex((x) => x <= left);
    if (lane < 0) lane = freeFrom.length < mostLanes ? freeFrom.length : freeFrom.indexOf(Math.min(...freeFrom));
    freeFrom[lane] = right + GAP;
    return lane;
  });
}
