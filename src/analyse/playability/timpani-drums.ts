/** The drums that a timpanist is taken to have, and which of them can have a pitch. */

export interface Drum {
  /** Diameter of the head. */
  readonly inches: number;
  /** Lowest and highest note, MIDI key numbers. */
  readonly low: number;
  readonly high: number;
}

/**
 * The pair of the classical orchestra, F2-C3 and B flat 2-F3 (N. Rimsky-Korsakov, Principles of Orchestration, ch. I). Sizes in
 * inches: J. J. Papastefan, "Timpani Sizes and Ranges".
 */
export const TIMPANI_PAIR: readonly Drum[] = [
  { inches: 29, low: 41, high: 48 },
  { inches: 26, low: 46, high: 53 },
];

/**
 * Four pedal drums of 32, 29, 26 and 23 inches are the least that is expected today, a fifth of 20 inches reaches C4
 * (Papastefan). That each has a fifth, D2-A2 and D3-A3 for the outer ones, F3-C4 for the fifth, is from memory; drums differ by
 * a tone.
 */
export const TIMPANI_SET: readonly Drum[] = [
  { inches: 32, low: 38, high: 45 },
  ...TIMPANI_PAIR,
  { inches: 23, low: 50, high: 57 },
];
const FIFTH_DRUM: Drum = { inches: 20, low: 53, high: 60 };

/** The drums of a set that can be tuned to this pitch. */
export function drumsWith(midi: number, set: readonly Drum[]): readonly Drum[] {
  return set.filter(({ low, high }) => midi >= low && midi <= high);
}

/** Names of notes as timpani parts state them: Timpani in Es, B; Timpani (D, A); Pauken in C-G. */
const TUNING =
  /(?:\bin\b|\(|,|:)\s*([a-h](?:[b♭#♯]|es|is|s)?(?:\s*(?:[,–-]|und|and|e|et|u\.)?\s*[a-h](?:[b♭#♯]|es|is|s)?){1,3})\s*\)?\s*$/i;

/** How many drums the name of a part states by their pitches; undefined where it states none. */
export function statedDrums(name: string): number | undefined {
  const stated = TUNING.exec(name)?.[1];
  if (stated === undefined) return undefined;
  const pitches = stated.match(/[a-h](?:[b♭#♯]|es|is|s)?/gi) ?? [];
  return pitches.length === 2 || pitches.length === 3 ? pitches.length : undefined;
}

/**
 * Four drums, and the fifth where the music goes higher than they do; the fifth instead of the largest where nothing lies low enough for that: a player
 * brings the drums that have something to do (common practice, no source). The pair where the name states two pitches and has all that is played.
 */
export function setFor(keys: readonly number[], stated?: number): readonly Drum[] {
  if (stated === 2 && keys.every((midi) => drumsWith(midi, TIMPANI_PAIR).length > 0)) return TIMPANI_PAIR;
  const wantsFifth = keys.some((midi) => drumsWith(midi, TIMPANI_SET).length === 0 && midi > FIFTH_DRUM.low);
  const [largest, ...others] = TIMPANI_SET;
  const isHigh = largest !== undefined && keys.length > 0 && keys.every((midi) => midi > largest.high);
  return isHigh ? [...others, FIFTH_DRUM] : wantsFifth ? [...TIMPANI_SET, FIFTH_DRUM] : TIMPANI_SET;
}
