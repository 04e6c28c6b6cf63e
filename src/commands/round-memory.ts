/** A memory that reaches from one build to the next, and no further than what the last one used. */
import { heldOnce, isAlike } from '../model/alike.ts';
import { memoryOver, NO_MEMORY, type Memory } from '../model/memory.ts';

export interface RoundMemory extends Memory {
  /** Forgets what nobody asked for since the last call. */
  readonly endRound: () => void;
  /** Takes back what was renewed since then: it was made from what nobody builds. */
  readonly dropRound: () => void;
}

interface Remembered {
  readonly keys: readonly unknown[];
  readonly made: unknown;
  isUsed: boolean;
}

/** What was made for one place in the last round, and from what. */
interface Renewed {
  readonly inputs: readonly unknown[];
  readonly made: unknown;
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
  let before = new Map<string, Renewed>();
  let now = new Map<string, Renewed>();
  return {
    ...memory,
    renew: <Made>(purpose: string, place: string, inputs: readonly unknown[], make: () => Made): Made => {
      const key = `${purpose} ${place}`;
      const known = now.get(key) ?? before.get(key);
      const isSame = known !== undefined && isAlike(known.inputs, inputs);
      // Only `make` of the same purpose put it there.
      const made = (isSame ? known.made : heldOnce<unknown>(make(), known?.made)) as Made;
      now.set(key, { inputs, made });
      return made;
    },
    dropRound: () => {
      now = new Map();
    },
    endRound: () => {
      before = now;
      now = new Map();
      for (const [purpose, shelf] of shelves) {
        const used = shelf.filter((each) => each.isUsed);
        for (const each of used) each.isUsed = false;
        shelves.set(purpose, used);
      }
    },
  };
}
