/** A memory that reaches from one build to the next, and no further than what the last one used. */
import type { Memory } from '../model/memory.ts';

export interface RoundMemory extends Memory {
  /** Forgets what nobody asked for since the last call. */
  readonly endRound: () => void;
}

interface Remembered {
  readonly keys: readonly unknown[];
  readonly made: unknown;
  isUsed: boolean;
}

export function roundMemory(): RoundMemory {
  const shelves = new Map<string, Remembered[]>();
  return {
    recall: <Made>(purpose: string, keysOf: () => readonly unknown[], make: () => Made): Made => {
      const keys = keysOf();
      const shelf = shelves.get(purpose) ?? [];
      shelves.set(purpose, shelf);
      const known = shelf.find(
        (each) => each.keys.length === keys.length && each.keys.every((key, index) => key === keys[index]),
      );
      if (known !== undefined) {
        known.isUsed = true;
        // Only `make` of the same purpose and keys put it there.
        return known.made as Made;
      }
      const made = make();
      shelf.push({ keys, made, isUsed: true });
      return made;
    },
    endRound: () => {
      for (const [purpose, shelf] of shelves) {
        const used = shelf.filter((each) => each.isUsed);
        for (const each of used) each.isUsed = false;
        shelves.set(purpose, used);
      }
    },
  };
}
