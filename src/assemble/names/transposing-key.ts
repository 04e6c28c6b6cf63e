/** Keys of transposing instruments as people write them: B♭, Es, in fa, en si bémol. */
import { Interval } from 'tonal';
import { className, classNamed } from '../../model/music/pitch.ts';

export interface InstrumentKey {
  readonly step: 'A' | 'B' | 'C' | 'D' | 'E' | 'F' | 'G';
  readonly alter: -1 | 0 | 1;
  /** Said of horns: in B flat alto, in C basso. */
  readonly octave?: 'alto' | 'basso';
}

/** Words for the octave of a horn's key: Corni in Si bemolle basso, Hörner in hoch B. */
export const KEY_OCTAVES: ReadonlyMap<string, 'alto' | 'basso'> = new Map<string, 'alto' | 'basso'>([
  ['alto', 'alto'],
  ['alti', 'alto'],
  ['hoch', 'alto'],
  ['high', 'alto'],
  ['aigu', 'alto'],
  ['haut', 'alto'],
  ['basso', 'basso'],
  ['bassi', 'basso'],
  ['tief', 'basso'],
  ['low', 'basso'],
  ['grave', 'basso'],
  ['bas', 'basso'],
]);

/** Keys by the words for them, from their English names. */
function keysOf(names: Readonly<Record<string, string>>): ReadonlyMap<string, InstrumentKey> {
  return new Map(Object.entries(names).map(([word, name]) => [word, classNamed(name) as InstrumentKey]));
}

const LETTERS = keysOf({
  c: 'C',
  d: 'D',
  e: 'E',
  f: 'F',
  g: 'G',
  a: 'A',
  h: 'B',
  // No wind instrument stands in B natural: a lone B is the German name of B flat, or has lost its sign.
  b: 'Bb',
  bb: 'Bb',
  eb: 'Eb',
  ab: 'Ab',
  db: 'Db',
  gb: 'Gb',
  es: 'Eb',
  as: 'Ab',
  des: 'Db',
  ges: 'Gb',
  fis: 'F#',
  cis: 'C#',
});

const SYLLABLES = keysOf({
  do: 'C',
  ut: 'C',
  re: 'D',
  mi: 'E',
  fa: 'F',
  sol: 'G',
  la: 'A',
  si: 'B',
  sib: 'Bb',
  mib: 'Eb',
  lab: 'Ab',
  reb: 'Db',
});

const FLAT_WORDS: ReadonlySet<string> = new Set(['flat', 'bemolle', 'bemol', 'bem']);
const IN_WORDS: ReadonlySet<string> = new Set(['in', 'en', 'im']);

/** Letters that are taken for a key without `in` before them; others are as likely the label of a player. */
const BARE: ReadonlySet<string> = new Set([
  'bb',
  'eb',
  'ab',
  'db',
  'es',
  'as',
  'f',
  'sib',
  'mib',
  'a',
  'b',
  'c',
  'd',
  'e',
  'g',
]);

/** A key at this place in folded words, and how many words it takes; undefined where there is none. */
export function readKey(
  words: readonly string[],
  place: number,
): { readonly key: InstrumentKey; readonly taken: number } | undefined {
  const isIn = IN_WORDS.has(words[place] ?? '');
  const at = isIn ? place + 1 : place;
  const word = words[at] ?? '';
  // Without `in`, only the short forms: la, re, mi are words of their own in French and Italian.
  const found = LETTERS.get(word) ?? (isIn || word === 'sib' || word === 'mib' ? SYLLABLES.get(word) : undefined);
  const flat = FLAT_WORDS.has(words[at + 1] ?? '');
  if (found === undefined) {
    const syllable = SYLLABLES.get(word);
    return flat && syllable !== undefined
      ? { key: { step: syllable.step, alter: -1 }, taken: at + 2 - place }
      : undefined;
  }
  if (!isIn && !flat && !BARE.has(word)) return undefined;
  if (flat) return { key: { step: found.step, alter: -1 }, taken: at + 2 - place };
  return { key: found, taken: at + 1 - place };
}

export interface KeyedTransposition {
  readonly semitones: number;
  readonly diatonicSteps: number;
}

/**
 * sounding = written + semitones, for an instrument that is `base` (catalogue id) but stands in another key. Written C sounds the key's
 * note: at or below C for horns, within a fourth above or a third below C for trumpets, cornets and clarinets (common practice: trumpets in D, E flat and F sound upwards,
 * in B flat and A downwards). undefined where the key changes nothing we know of.
 */
export function transpositionInKey(base: string, instrumentKey: InstrumentKey): KeyedTransposition | undefined {
  const { step, alter } = instrumentKey;
  const { step: steps, semitones } = Interval.get(Interval.distance('C4', `${className({ step, alter })}4`));
  const below = { semitones: semitones - 12, diatonicSteps: steps - 7 };
  const above = { semitones, diatonicSteps: steps };
  const octaveLower = { semitones: below.semitones - 12, diatonicSteps: below.diatonicSteps - 7 };
  if (base === 'horn-f') {
    const { octave } = instrumentKey;
    // C alto sounds as written; A, B flat and B natural basso sound an octave below the usual crook. H is only known as basso.
    if (octave === 'alto') return step === 'C' ? above : below;
    const isLow = octave === 'basso' || (step === 'B' && alter === 0);
    return isLow && step !== 'C' && semitones >= 8 ? octaveLower : below;
  }
  if (base === 'trumpet-piccolo') return semitones === 9 ? above : undefined;
  if (['trumpet-bflat', 'trumpet-c', 'cornet-bflat', 'clarinet-bflat'].includes(base))
    return semitones <= 6 ? above : below;
  return undefined;
}

/** The catalogue's instrument for a base instrument in a key: the clarinet in A, the trumpet in C, the alto flute for a flute in G. */
export function instrumentInKey(base: string, instrumentKey: InstrumentKey): string {
  return KEYED.get(`${base} ${className(instrumentKey)}`) ?? base;
}

const KEYED: ReadonlyMap<string, string> = new Map(
  Object.entries({
    'clarinet-bflat A': 'clarinet-a',
    'clarinet-bflat Eb': 'clarinet-eflat',
    'trumpet-bflat C': 'trumpet-c',
    'flute G': 'alto-flute',
    'cornet-bflat Eb': 'cornet-eflat',
  }),
);
