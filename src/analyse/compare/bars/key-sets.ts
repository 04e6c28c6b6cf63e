/** Which keys begin in a bar, as sets of bits: whether a line can be in a part is asked of every bar and part, and mostly it cannot. */

/** How many keys MIDI has. */
export const KEYS = 128;
/** So many words of 32 bits are a set of keys. */
export const WORDS = KEYS / 32;

/** Adds a key to the set of a bar, given by index; other pitches are left out. */
export function addKey(sets: Int32Array, bar: number, midi: number): void {
  if (midi < 0 || midi >= KEYS) return;
  const word = WORDS * bar + (midi >> 5);
  sets[word] = (sets[word] ?? 0) | (1 << (midi & 31));
}

/** True of a key that one of some bars has, each bar where it has a count. */
export function hasKey(sets: Int32Array, counts: Uint32Array, from: number, to: number, midi: number): boolean {
  if (midi < 0 || midi >= KEYS) return false;
  for (let bar = from; bar <= to; bar++) {
    if ((counts[bar] ?? 0) > 0 && (((sets[WORDS * bar + (midi >> 5)] ?? 0) >>> (midi & 31)) & 1) === 1) return true;
  }
  return false;
}
