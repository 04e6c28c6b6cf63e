/** Every name in the catalogue as folded words, for looking up track names. */
import { catalogue, instruments } from '../../model/music/catalogue.ts';
import { furtherNames } from './further-names.ts';
import { wordsOf, spokenNumber } from './name-words.ts';

export type Language = 'en' | 'de' | 'it' | 'fr' | 'es';
const LANGUAGES: readonly Language[] = ['en', 'de', 'it', 'fr', 'es'];

export interface LexiconEntry {
  /** Catalogue ids, the likeliest first; more than one where the name alone does not tell. */
  readonly candidates: readonly string[];
  readonly languages: readonly Language[];
  readonly plural: boolean;
}

/** Groups that are not one instrument and have no record of their own. */
const SECTION_NAMES: Readonly<Record<string, readonly string[]>> = {
  woodwinds: [
    'woodwinds',
    'woodwind',
    'winds',
    'wind',
    'ww',
    'high winds',
    'low winds',
    'holz',
    'holzblaser',
    'blaser',
    'legni',
    'fiati',
    'bois',
    'vents',
    'high woodwinds',
    'low woodwinds',
    'reeds',
  ],
  brass: [
    'brass',
    'brs',
    'low brass',
    'high brass',
    'brass section',
    'brass sect',
    'brass sec',
    'horn section',
    'horns section',
    'horn sect',
    'hn section',
    'hn sect',
    'blech',
    'blechblaser',
    'ottoni',
    'cuivres',
    'synth brass',
  ],
  orchestra: [
    'orchestra',
    'orch',
    'full orchestra',
    'orchester',
    'orchestre',
    'tutti orchestra',
    'ensemble',
    'band',
    'rhythm section',
    'quintet',
    'quartet',
  ],
};

/** Words of a name without numbers, as one key. */
export function keyOfWords(words: readonly string[]): string {
  return words.filter((word) => !/^\d+$/.test(word) && spokenNumber(word) === undefined).join(' ');
}

interface MutableEntry {
  candidates: string[];
  languages: Set<Language>;
  plural: boolean;
}

/** The ways a name is spelled: as it is, and with ä ö ü ß written out. */
function spellings(name: string): readonly string[] {
  const writtenOut = name.replaceAll(/[äöüÄÖÜ]/g, (letter) => {
    const plain = letter.normalize('NFD')[0] ?? letter;
    return `${plain}e`;
  });
  return writtenOut === name ? [name] : [name, writtenOut];
}

/** Regular plurals of a written-out name; irregular ones stand in the catalogue. */
function plurals(name: string, language: Language): readonly string[] {
  if (!/\p{L}{4,}$/u.test(name)) return [];
  if (language === 'en' || language === 'fr') return /s$/.test(name) ? [] : [`${name}s`];
  if (language === 'de') return /e$/.test(name) ? [`${name}n`] : [`${name}en`];
  return [];
}

/** Names that stand in the catalogue as plurals, by their ending: a bass, a fiddle and a violoncelle are one. */
const PLURAL_ABBREVIATION = /^(?:vns|vlns|vlas|vcs|dbs|fls|obs|cls|bsns|hns|tpts|tbns|vni)$/;
const PLURAL_END: Readonly<Record<Language, RegExp>> = {
  en: /[a-z]{2,}[^su]s$/,
  de: /[a-z]{3,}(?:en|chen|[^su]s)$|(?:horner|hoerner|basse|baesse|celli)$/,
  // The noun comes first: corni naturali, but corno naturale.
  it: /^[a-z]+(?:ni|ti|be|li|oi|si|le)(?: |$)/,
  fr: /^[a-z]{2,}[^suai]s(?: |$)/,
  es: /^[a-z]{3,}(?:[aeio]s|es)(?: |$)/,
};
/** Short names that only look like plurals: the trombone in the bass. */
const NO_PLURAL = /pos$/;

function isPluralEntry(key: string, language: Language): boolean {
  return !NO_PLURAL.test(key) && (PLURAL_ABBREVIATION.test(key) || PLURAL_END[language].test(key));
}

function buildLexicon(): ReadonlyMap<string, LexiconEntry> {
  const entries = new Map<string, MutableEntry>();
  const add = (name: string, id: string, language: Language, plural: boolean): void => {
    for (const spelling of spellings(name)) {
      const key = keyOfWords(wordsOf(spelling).map((word) => word.text));
      if (key === '') continue;
      const entry = entries.get(key) ?? { candidates: [], languages: new Set<Language>(), plural: false };
      if (!entry.candidates.includes(id)) entry.candidates.push(id);
      entry.languages.add(language);
      if (plural) entry.plural = true;
      entries.set(key, entry);
    }
  };
  for (const instrument of instruments) {
    for (const language of LANGUAGES) {
      for (const name of instrument.trackNames[language] ?? []) {
        const key = keyOfWords(wordsOf(name).map((word) => word.text));
        add(name, instrument.id, language, isPluralEntry(key, language));
      }
    }
  }
  for (const instrument of instruments) {
    for (const language of LANGUAGES) {
      for (const name of instrument.trackNames[language] ?? []) {
        for (const plural of plurals(name, language)) {
          // A regular plural never takes the place of a name that stands in the catalogue.
          const key = keyOfWords(wordsOf(plural).map((word) => word.text));
          const known = entries.get(key);
          if (known === undefined || known.candidates.includes(instrument.id))
            add(plural, instrument.id, language, true);
        }
      }
    }
  }
  for (const { token, candidates } of catalogue.ambiguousTrackNames) {
    for (const spelling of spellings(token)) {
      const key = keyOfWords(wordsOf(spelling).map((word) => word.text));
      const known = entries.get(key);
      entries.set(key, {
        candidates: [...candidates],
        languages: known?.languages ?? new Set<Language>(),
        plural: known?.plural ?? false,
      });
    }
  }
  for (const { name, candidates, plural } of furtherNames) {
    for (const spelling of spellings(name)) {
      const key = keyOfWords(wordsOf(spelling).map((word) => word.text));
      const known = entries.get(key);
      // What the catalogue calls so stays what it is there, unless the name is said here to be open between the two.
      if (known === undefined || (candidates.length > 1 && known.candidates.every((id) => candidates.includes(id))))
        entries.set(key, { candidates: [...candidates], languages: known?.languages ?? new Set<Language>(), plural });
    }
  }
  return new Map(
    [...entries].map(([key, entry]) => [
      key,
      { candidates: entry.candidates, languages: [...entry.languages], plural: entry.plural },
    ]),
  );
}

export const lexicon: ReadonlyMap<string, LexiconEntry> = buildLexicon();

/** Section that a name means (`woodwinds`, `brass`, `orchestra`), by folded words. */
export const sectionLexicon: ReadonlyMap<string, string> = new Map(
  Object.entries(SECTION_NAMES).flatMap(([section, names]) => names.map((name): [string, string] => [name, section])),
);

/** Words in the longest name of the lexicon. */
export const LONGEST_NAME_WORDS = Math.max(...[...lexicon.keys()].map((key) => key.split(' ').length));
