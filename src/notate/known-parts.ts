/** What was worked out of parts that the stage before had too: stages share most of what they play. */
import type { Part } from '../model/music/arrangement.ts';
import { isAlike } from '../model/alike.ts';
import type { Memory } from '../model/memory.ts';
import { NO_MEMORY } from '../model/memory.ts';

/** Results by purpose and part, each of the last stage that had the part. */
export interface KnownParts {
  /** What `make` gives, or what it gave for inputs that say the same. `inputs` must name everything that it reads. */
  readonly recall: <Made>(purpose: string, partId: string, inputs: readonly unknown[], make: () => Made) => Made;
  readonly forget: () => void;
}

/** Remembers results until it is told to forget them, and beyond that what `memory` has of an earlier build. */
export function knownParts(memory: Memory = NO_MEMORY): KnownParts {
  const known = new Map<string, { readonly inputs: readonly unknown[]; readonly made: unknown }>();
  return {
    recall: <Made>(purpose: string, partId: string, inputs: readonly unknown[], make: () => Made): Made => {
      const key = `${purpose} ${partId}`;
      const before = known.get(key);
      // Only `make` of the same purpose and inputs put it there.
      if (before !== undefined && isAlike(before.inputs, inputs)) return before.made as Made;
      const made = memory.renew(`${purpose} of a part`, partId, inputs, make);
      known.set(key, { inputs, made });
      return made;
    },
    forget: () => {
      known.clear();
    },
  };
}

/** A part without the places of its tracks in the files, which no notation looks at. */
export function asPlayed(part: Part): object {
  return { ...part, tracks: part.tracks.map((track) => ({ ...track, file: '', track: 0 })) };
}
