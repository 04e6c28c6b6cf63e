/** Names of transposing instruments with their key, in the language in which the folder names its parts. */
import { comparableName } from '../../assemble/names/text.ts';
import type { Part } from '../../model/music/arrangement.ts';
import { instrumentById } from '../../model/music/catalogue.ts';
import { className, transpose } from '../../model/music/pitch.ts';
import { concertIntervalOf, intervalOf } from '../keys/written-pitch.ts';

type Language = 'en' | 'de' | 'it' | 'fr' | 'es';

const SYLLABLES: Readonly<Record<string, string>> = { C: 'do', D: 're', E: 'mi', F: 'fa', G: 'sol', A: 'la', B: 'si' };

interface KeyWords {
  readonly before: string;
  /** The note of a key without its sign, and the words for the signs. */
  readonly of: (step: string) => string;
  readonly flat: string;
  readonly sharp: string;
}

/** As the parts of published scores are named: Clarinette en si bémol, Corno in fa, Clarinete en si bemol (common practice, no source). */
const KEY_WORDS: Readonly<Record<Exclude<Language, 'de'>, KeyWords>> = {
  en: { before: 'in', of: (step) => step, flat: ' flat', sharp: ' sharp' },
  it: { before: 'in', of: (step) => SYLLABLES[step] ?? step, flat: ' bemolle', sharp: ' diesis' },
  fr: {
    before: 'en',
    of: (step) => (step === 'D' ? 'ré' : (SYLLABLES[step] ?? step)),
    flat: ' bémol',
    sharp: ' dièse',
  },
  es: { before: 'en', of: (step) => SYLLABLES[step] ?? step, flat: ' bemol', sharp: ' sostenido' },
};

/** German names of the keys that instruments stand in: B for B flat, H for B, Es, As, else -es and -is. */
function germanKey(name: string): string {
  if (name === 'Bb') return 'B';
  if (name === 'B') return 'H';
  if (name === 'Eb' || name === 'Ab') return `${name.charAt(0)}s`;
  return name.replace('b', 'es').replace('#', 'is');
}

/** The language in which most parts bear names that English does not have; English where none does or two are as frequent. */
export function languageOf(parts: readonly Part[]): Language {
  const votes = new Map<Language, number>();
  for (const { name, instrument } of parts) {
    const words = comparableName(name)
      .replace(/(\s+(\d+|[ivx]+))+$/, '')
      .trim();
    const known = Object.entries(instrumentById(instrument)?.trackNames ?? {}).flatMap(([language, names]) =>
      names.some((one) => comparableName(one) === words) ? [language as Language] : [],
    );
    for (const language of known) votes.set(language, (votes.get(language) ?? 0) + 1 / known.length);
  }
  const [first, second] = [...votes].sort((a, b) => b[1] - a[1]);
  return first === undefined || first[1] === second?.[1] ? 'en' : first[0];
}

function keyWords(name: string, language: Language): string {
  if (language === 'de') return `in ${germanKey(name)}`;
  const { before, of, flat, sharp } = KEY_WORDS[language];
  return `${before} ${of(name.charAt(0))}${name.slice(1).replace('b', flat).replace('#', sharp)}`;
}

/** A key that the user's own name has already, in letters or syllables. */
const HAS_KEY = /(?<!\p{L})(in|en|em|auf)\s+([A-H]|(do|ut|r[eé]|mi|fa|sol|la|si)b?(?!\p{L}))/iu;

/** `Clarinet in B flat`, `Clarinette en si bémol`: the sounding pitch of a written C. The name alone where the part is read as it sounds, octaves aside. */
export function keyedName(part: Part, language: Language): string {
  const interval = intervalOf(part);
  if (interval.chromatic === concertIntervalOf(part).chromatic) return part.name;
  // One form for all of them, whatever the user's is.
  if (HAS_KEY.test(part.name)) return part.name.replace(/\b([A-H])-(flat|sharp)\b/i, '$1 $2');
  const sounding = transpose({ step: 'C', alter: 0, octave: 4 }, interval.diatonic, interval.chromatic);
  return `${part.name} ${keyWords(className(sounding), language)}`;
}
