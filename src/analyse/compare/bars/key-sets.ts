/** Which keys begin in a bar, as sets of bits: whether a line can be in a part is asked of every bar and part, and mostly it cannot. */

/** How many keys MIDI has. */
export const KEYS = 128;
/** So many words of 32 bits are a set of keys. */
export const WORDS = KEYS / 32;

/** Adds a key to the set of a bar, given by index; other pitches are left out. */
export function addKey(sets: Uint32Array, bar: number, midi: number): void {
  if (midi < 0 || midi >= KEYS) return;
  const word = WORDS * bar + (midi >> 5);
  sets[word] = (sets[word] ?? 0) | (1 << (midi & 31));
}

/** The keys that some bars have together, each bar where it has a count. */
export function keysIn(sets: Uint32Array, counts: Uint32Array, from: number, to: number): Uint32Array {
  const keys = new Uint32Array(WORDS);
  for (let bar = Math.max(0, from); bar <= to; bar++) {
    if ((counts[bar] ?? 0) === 0) continue;
    for (let word = 0; word < WORDS; word++) keys[word] = (keys[word] ?? 0) | (sets[WORDS * bar + word] ?? 0);
  }
  return keys;
}

/** True of a key of a set. */
export function hasKey(keys: Uint32Array, midi: number): boolean {
  return midi >= 0 && (((keys[midi >> 5] ?? 0) >>> (midi & 31)) & 1) === 1;
}
