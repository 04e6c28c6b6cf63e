/** Page scripts only add. A feature that fails takes nothing away: the page stays as it was written. */
export function attempt(feature: () => void): void {
  try {
    feature();
  } catch {
    // The page is complete without it, and a reader can do nothing about it.
  }
}

/** Elements below a root that match, as an array. */
export function all<E extends Element>(root: ParentNode, selector: string): E[] {
  return [...root.querySelectorAll<E>(selector)];
}

/** Id of the place that the address names; '' for none. */
export function addressed(): string {
  return decodeURIComponent(location.hash.slice(1));
}
