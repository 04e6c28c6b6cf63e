/** Plain data that says the same is held once: it takes less room, and what was made of the one serves the other. */

function areListsAlike(one: ArrayLike<unknown>, other: ArrayLike<unknown>): boolean {
  if (one.length !== other.length) return false;
  for (let index = 0; index < one.length; index++) {
    if (!isAlike(one[index], other[index])) return false;
  }
  return true;
}

function isBox(value: object): value is ReadonlyMap<unknown, unknown> | ReadonlySet<unknown> {
  return value instanceof Map || value instanceof Set;
}

/**
 * True where two values of plain data (texts, lists, records, maps and sets of them) are the same to the last bit, names of records and entries of maps in the
 * same order. Of anything else only the same thing is alike.
 */
export function isAlike(one: unknown, other: unknown): boolean {
  if (Object.is(one, other)) return true;
  if (typeof one !== 'object' || typeof other !== 'object' || one === null || other === null) return false;
  if (Object.getPrototypeOf(one) !== Object.getPrototypeOf(other)) return false;
  if (Array.isArray(one) && Array.isArray(other)) return areListsAlike(one, other);
  if (one instanceof String && other instanceof String) return one.valueOf() === other.valueOf();
  if (isBox(one) && isBox(other)) return one.size === other.size && areListsAlike([...one], [...other]);
  if (Object.getPrototypeOf(one) !== Object.prototype) return false;
  const names = Object.keys(one);
  return (
    areListsAlike(names, Object.keys(other)) &&
    names.every((name) => isAlike((one as Record<string, unknown>)[name], (other as Record<string, unknown>)[name]))
  );
}

/** What was made, or what is known already where that says the same. */
export function heldOnce<Made>(made: Made, known: Made | undefined): Made {
  return known !== undefined && isAlike(made, known) ? known : made;
}
