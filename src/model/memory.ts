/** Remembers what pure functions made, so that what has not changed is not made anew. What is recalled is what would be made. */
export interface Memory {
  /**
   * What `make` gives, or what it gave for equal keys before (strings by content, objects by identity). `keys` must name
   * everything that `make` reads; it is asked only where something is remembered at all.
   */
  readonly recall: <Made>(purpose: string, keys: () => readonly unknown[], make: () => Made) => Made;
}

/** Makes everything anew: one build of one folder. */
export const NO_MEMORY: Memory = { recall: (_purpose, _keys, make) => make() };
