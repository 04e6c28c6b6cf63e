/** Keeps what was made of the voices of a staff: a staff that is read as it sounds is the same in both readings of a score. */
import type { StaffBar } from '../../../model/music/written.ts';

/**
 * Gives what was made last of these voices (the same object) with equal `keys`, else what `make` gives. `keys` must name all
 * that `make` reads besides the voices.
 */
export function staffMemory<Made>(): (voices: StaffBar['voices'], keys: string, make: () => Made) => Made {
  const known = new WeakMap<StaffBar['voices'], { readonly keys: string; readonly made: Made }>();
  return (voices, keys, make) => {
    const before = known.get(voices);
    if (before?.keys === keys) return before.made;
    const made = make();
    known.set(voices, { keys, made });
    return made;
  };
}
