/** A memory that counts what is really made, by purpose. */
import type { Memory } from '../../src/model/memory.ts';

export function counting<Kind extends Memory>(memory: Kind): { memory: Kind; made: Map<string, number> } {
  const made = new Map<string, number>();
  const count = (purpose: string): void => {
    made.set(purpose, (made.get(purpose) ?? 0) + 1);
  };
  return {
    made,
    memory: {
      ...memory,
      recall: (purpose, keys, make) =>
        memory.recall(purpose, keys, () => {
          count(purpose);
          return make();
        }),
      recallLater: (purpose, keys, make) =>
        memory.recallLater(purpose, keys, () => {
          count(purpose);
          return make();
        }),
      renew: (purpose, place, inputs, make) =>
        memory.renew(purpose, place, inputs, () => {
          count(purpose);
          return make();
        }),
    },
  };
}
