/** A memory that reaches from one build to the next, and no further than what the last one used. */
import { memoryOver, NO_MEMORY, type Memory } from '../model/memory.ts';

export interface RoundMemory extends Memory {
  /** Forgets what nobody asked for since the last call. */
  readonly endRound: () => void;
}

interface Remembered {
  readonly keys: readonly unknown[];
  readonly made: unknown;
  isUsed: boolean;
}

/** `behind`: asked for what is not remembered here, and handed all that is new. */
export function roundMemory(behind: Memory = NO_MEMORY): RoundMemory {
  const shelves = new Map<string, Remembered[]>();
  const shelfOf = (purpose: string): Remembered[] => {
    const shelf = shelves.get(purpose) ?? [];
    shelves.set(purpose, shelf);
    return shelf;
  };
  const memory = memoryOver({
    find: (purpose, keys) => {
      const shelf = shelfOf(purpose);
      const known = shelf.find(
        (each) => each.keys.length === keys.length && each.keys.every((key, index) => key === keys[index]),
      );
      if (known !== undefined) {
        known.isUsed = true;
        return known.made;
      }
      const made = behind.find(purpose, () => keys);
      if (made !== undefined) shelf.push({ keys, made, isUsed: true });
      return made;
    },
    keep: (purpose, keys, made) => {
      shelfOf(purpose).push({ keys, made, isUsed: true });
      behind.keep(purpose, () => keys, made);
    },
  });
  return {
    ...memory,
    endRound: () => {
      for (const [purpose, shelf] of shelves) {
        const used = shelf.filter((each) => each.isUsed);
        for (const each of used) each.isUsed = false;
        shelves.set(purpose, used);
      }
    },
  };
}
