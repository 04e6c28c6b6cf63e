/** Remembers what functions made, so that what has not changed is not made anew. What is recalled is what would be made. */
export interface Memory {
  /**
   * What `make` gives, or what it gave for equal keys before (strings by content, objects by identity). `keys` must name
   * everything that `make` reads; it is asked only where something is remembered at all.
   */
  readonly recall: <Made>(purpose: string, keys: () => readonly unknown[], make: () => Made) => Made;
  /** The same where what is made comes later; it is begun at once. */
  readonly recallLater: <Made>(
    purpose: string,
    keys: () => readonly unknown[],
    make: () => Promise<Made>,
  ) => Promise<Made>;
  /**
   * What `make` gives, or what it gave for this place in the build before where all of `inputs` say the same by now. A result that says the same as
   * the one before is the one before. `inputs` must name everything that `make` reads.
   */
  readonly renew: <Made>(purpose: string, place: string, inputs: readonly unknown[], make: () => Made) => Made;
  /** What was kept for equal keys; undefined where nothing was. */
  readonly find: (purpose: string, keys: () => readonly unknown[]) => unknown;
  readonly keep: (purpose: string, keys: () => readonly unknown[], made: unknown) => void;
}

/** What a memory is made over: finds what was kept under a purpose and keys, and nothing else. */
export interface Shelf {
  readonly find: (purpose: string, keys: readonly unknown[]) => unknown;
  readonly keep: (purpose: string, keys: readonly unknown[], made: unknown) => void;
}

export function memoryOver(shelf: Shelf): Memory {
  return {
    recall: <Made>(purpose: string, keysOf: () => readonly unknown[], make: () => Made): Made => {
      const keys = keysOf();
      const known = shelf.find(purpose, keys);
      // Only `make` of the same purpose and keys put it there.
      if (known !== undefined) return known as Made;
      const made = make();
      shelf.keep(purpose, keys, made);
      return made;
    },
    recallLater: async <Made>(
      purpose: string,
      keysOf: () => readonly unknown[],
      make: () => Promise<Made>,
    ): Promise<Made> => {
      const keys = keysOf();
      const known = shelf.find(purpose, keys);
      if (known !== undefined) return known as Made;
      const made = await make();
      shelf.keep(purpose, keys, made);
      return made;
    },
    renew: (_purpose, _place, _inputs, make) => make(),
    find: (purpose, keys) => shelf.find(purpose, keys()),
    keep: (purpose, keys, made) => {
      shelf.keep(purpose, keys(), made);
    },
  };
}

/** Makes everything anew: one build of one folder. */
export const NO_MEMORY: Memory = {
  recall: (_purpose, _keys, make) => make(),
  recallLater: (_purpose, _keys, make) => make(),
  renew: (_purpose, _place, _inputs, make) => make(),
  find: () => undefined,
  keep: () => undefined,
};
