/** What a track name says: instrument, numbers, players, how it is played. Looks at the name alone. */
import type { Language } from './lexicon.ts';
import { chooseMatch, matchesIn } from './choose-name.ts';
import { lexicon, sectionLexicon } from './lexicon.ts';
import type { NameWord } from './name-words.ts';
import {
  ARTICULATION_WORDS,
  DESK_WORDS,
  HAND_WORDS,
  MIX_WORDS,
  ONE_PLAYER_WORDS,
  SOLO_WORDS,
  romanNumber,
  spokenNumber,
  wordsOf,
} from './name-words.ts';
import type { Match, Use } from './name-numbers.ts';
import { isNumber, readNumbers } from './name-numbers.ts';
import { hasStringCounts } from '../../model/music/catalogue.ts';
import { isChoirName } from './name-groups.ts';
import { saidToSing, sungOf } from './said-to-sing.ts';
import { stringCountOf } from './string-count.ts';
import { plainNameOf, undividedNameOf } from './plain-name.ts';
import type { InstrumentKey } from './transposing-key.ts';
import { KEY_OCTAVES, readKey } from './transposing-key.ts';

export interface NameReading {
  /** Catalogue ids, the likeliest first; empty where no instrument is named. */
  readonly candidates: readonly string[];
  /** The name is of an instrument that the catalogue lacks. */
  readonly lacking: boolean;
  /** The words that named it, folded. */
  readonly matched: string;
  readonly languages: readonly Language[];
  /** Likeliest catalogue ids of other instruments that the name holds too (Fl./Picc., Celli e Bassi). */
  readonly also: readonly string[];
  /** A group that is not one instrument: `woodwinds`, `brass`, `orchestra`. */
  readonly section?: string;
  readonly plural: boolean;
  /** Numbers of the part: [1] for Violin I, [1, 2] for Fl. 1 & 2; empty where there is none. */
  readonly numbers: readonly number[];
  /** A plain number in front, which may be the part's or only the track's place in a list. */
  readonly leadingNumber?: { readonly count: number; readonly padded: boolean };
  /** From `a2`, `1+2`; undefined where the name does not say. */
  readonly players?: number;
  /** How many strings the instrument has, where the name says so: 7 for Violão 7 cordas. */
  readonly strings?: number;
  readonly solo: boolean;
  readonly tutti: boolean;
  /** The name puts a choir before its voice: Choir Alto. */
  readonly ofChoir: boolean;
  /** Hand of a keyboard or harp. */
  readonly hand: boolean;
  /** Articulation words, joined by spaces; '' where there are none. */
  readonly articulation: string;
  readonly key?: InstrumentKey;
  /** Words that are none of the above, sorted: they tell parts of one instrument apart. */
  readonly rest: string;
  /** The name without articulation, microphone and hand words, as the user wrote it. */
  readonly plainName: string;
  /** The plain name without desks and divisions. */
  readonly undividedName: string;
}

/** Left or right hand: LH, R. H., m.d., m.g., m.s. */
const HAND = /(?<![\p{L}])(?:[lr]\.?\s?h|m\.\s?[dgs])\.?(?![\p{L}])/iu;

function wordUse(word: string, hasInstrument: boolean): Use {
  if (SOLO_WORDS.has(word)) return 'solo';
  if (DESK_WORDS.has(word)) return 'desk';
  if (ARTICULATION_WORDS.has(word)) return 'articulation';
  if (HAND_WORDS.has(word)) return 'hand';
  if (MIX_WORDS.has(word)) return 'mix';
  if (hasInstrument && (word === 'l' || word === 'r')) return 'mix';
  if (hasInstrument && sectionLexicon.has(word)) return 'group';
  return 'rest';
}

const KEY_BASES: ReadonlySet<string> = new Set([
  'clarinet-bflat',
  'clarinet-a',
  'clarinet-eflat',
  'trumpet-bflat',
  'trumpet-c',
  'horn-f',
  'cornet-bflat',
  'flute',
  'bass-clarinet',
  'cor-anglais',
  'basset-horn',
  'euphonium',
  'tuba',
  'trumpet-piccolo',
  'sax-alto',
  'sax-tenor',
  'sax-soprano',
  'sax-baritone',
  'flugelhorn',
  'trombone-tenor',
  'alto-horn-eflat',
  'timpani',
  'baritone-horn',
  'oboe-damore',
  'alto-flute',
]);

/** A key next to the instrument's name: behind it (with numbers between) or in front. Marks its words as used. */
function findKey(words: readonly NameWord[], uses: Use[], match: Match, base: string): InstrumentKey | undefined {
  if (!KEY_BASES.has(base)) return undefined;
  const texts = words.map((word) => word.text);
  let place = match.to;
  while (
    isNumber(words[place]) ||
    romanNumber(texts[place] ?? '') !== undefined ||
    ['and', 'und'].includes(texts[place] ?? '')
  )
    place++;
  // Hörner in hoch B: the octave may stand before the key.
  const octaveFirst = base === 'horn-f' && texts[place] === 'in' && KEY_OCTAVES.has(texts[place + 1] ?? '');
  const keyPlace = octaveFirst ? place + 2 : place;
  const behind = words[keyPlace]?.apart === true ? undefined : readKey(texts, keyPlace);
  // `a 2` after a name is two players, not a key.
  if (behind !== undefined && !(texts[keyPlace] === 'a' && isNumber(words[keyPlace + 1]))) {
    const octavePlace = octaveFirst ? place + 1 : keyPlace + behind.taken;
    const octave = base === 'horn-f' ? KEY_OCTAVES.get(texts[octavePlace] ?? '') : undefined;
    for (let used = place; used < keyPlace + behind.taken; used++) uses[used] = 'key';
    if (octave === undefined) return behind.key;
    uses[octavePlace] = 'key';
    return { ...behind.key, octave };
  }
  for (const taken of [2, 1]) {
    const from = match.from - taken;
    const front = from >= 0 ? readKey(texts, from) : undefined;
    if (front?.taken === taken) {
      for (let used = from; used < match.from; used++) uses[used] = 'key';
      return front.key;
    }
  }
  return undefined;
}

/** The words with those that state a number of strings blanked, where what is left names an instrument that is built with different numbers. */
function withoutStringCount(words: NameWord[]): {
  readonly words: readonly NameWord[];
  readonly choice: ReturnType<typeof chooseMatch>;
  readonly strings?: number;
  readonly said: readonly number[];
} {
  const found = stringCountOf(words);
  const blanked = words.map((word, index) => (found?.places.includes(index) === true ? { ...word, text: '' } : word));
  const choice = found === undefined ? undefined : chooseMatch(blanked);
  const named = choice === undefined ? undefined : lexicon.get(choice.match.key);
  return found !== undefined && named?.candidates.some(hasStringCounts) === true
    ? { words: blanked, choice, strings: found.count, said: found.places }
    : { words, choice: chooseMatch(words), said: [] };
}

/** Reads a track name. Never fails: a name that says nothing gives an empty reading. */
export function readName(given: string): NameReading {
  const name = given.normalize('NFC').slice(0, 200);
  const { words, choice, strings, said } = withoutStringCount(wordsOf(name));
  const uses: Use[] = words.map((_, index) => (said.includes(index) ? 'instrument' : 'unread'));
  const match = choice?.match;
  const entry = match === undefined ? undefined : lexicon.get(match.key);
  if (match !== undefined)
    for (let index = match.from; index < match.to; index++)
      uses[index] = spokenNumber(words[index]?.text ?? '') === undefined ? 'instrument' : 'unread';
  const group = choice?.group;
  // A bass of five strings is nobody who sings.
  const possible = (entry?.candidates ?? []).filter(
    (id) => (group === undefined || group.holds(id)) && (strings === undefined || hasStringCounts(id)),
  );
  const candidates = match !== undefined && saidToSing(words, match) ? sungOf(possible) : possible;
  const base = candidates[0];
  // A choir's alto is not the soloist: the word stays in the name.
  if (group !== undefined) uses[group.place] = group.isSung ? 'rest' : 'group';
  // E-Git., E Drums: the letter that makes it electric is no word between two names.
  if (match?.from === 1 && words[0]?.text === 'e') uses[0] = 'instrument';
  const key = match !== undefined && base !== undefined ? findKey(words, uses, match, base) : undefined;
  const { numbers, players: counted, leading } = readNumbers(name, words, uses, match);
  const isOne = entry?.plural !== true && words.some(({ text }) => ONE_PLAYER_WORDS.has(text));
  const players = counted ?? (isOne ? 1 : undefined);
  words.forEach((word, index) => {
    // A part that may be left out says so: ad lib. is no library.
    const isAtPleasure = word.text === 'lib' && words[index - 1]?.text === 'ad';
    if (uses[index] === 'unread') uses[index] = isAtPleasure ? 'rest' : wordUse(word.text, match !== undefined);
  });
  // Ad lib. is said of the player; a lib alone is where the sound is from.
  words.forEach((word, index) => {
    if (uses[index] === 'mix' && word.text === 'lib' && words[index - 1]?.text === 'ad') uses[index] = 'rest';
  });
  // Ad lib. is said of the player; a lib alone is where the sound is from.
  words.forEach((word, index) => {
    if (uses[index] === 'mix' && word.text === 'lib' && words[index - 1]?.text === 'ad') uses[index] = 'rest';
  });
  const hand = HAND.exec(name);
  if (hand !== null) {
    words.forEach((word, index) => {
      if (word.start >= hand.index && word.end <= hand.index + hand[0].length) uses[index] = 'hand';
    });
  }
  // Words of the very same instrument (Strings - Violins, Klavier Piano) add nothing.
  if (entry !== undefined && base !== 'percussion-unpitched') {
    words.forEach((word, index) => {
      const also = uses[index] === 'rest' ? lexicon.get(word.text) : undefined;
      if (
        also !== undefined &&
        (also.candidates.some((id) => entry.candidates.includes(id)) || also.candidates[0] === 'string-ensemble')
      )
        uses[index] = also.candidates[0] === 'string-ensemble' ? 'group' : 'instrument';
    });
  }
  // Letters behind a division (div. a, div. b) name its halves.
  words.forEach((word, index) => {
    if (uses[index] === 'rest' && /^[a-d]$/.test(word.text) && words[index - 1]?.text.startsWith('div') === true)
      uses[index] = 'desk';
  });
  const section = entry === undefined ? matchesIn(words, (candidate) => sectionLexicon.has(candidate))[0] : undefined;
  const sectionName = section === undefined ? undefined : sectionLexicon.get(section.key);
  const also = [
    ...new Set(
      (choice?.others ?? [])
        .filter((other) => uses[other.from] !== 'key')
        .flatMap((other) => lexicon.get(other.key)?.candidates[0] ?? []),
    ),
  ].filter((id) => !candidates.includes(id) && id !== 'string-ensemble' && base !== 'percussion-unpitched');
  const withUse = (use: Use): string[] => words.filter((_, index) => uses[index] === use).map((word) => word.text);
  const texts = words.map((word) => word.text);
  return {
    candidates,
    lacking: choice?.lacking ?? false,
    matched: match?.key ?? '',
    languages: entry?.languages ?? [],
    also,
    ...(sectionName === undefined ? {} : { section: sectionName }),
    plural: entry?.plural ?? false,
    numbers,
    ...(leading === undefined ? {} : { leadingNumber: leading }),
    ...(players === undefined ? {} : { players }),
    ...(strings === undefined ? {} : { strings }),
    solo: texts.some((text) => SOLO_WORDS.has(text)),
    tutti: texts.includes('tutti'),
    ofChoir: group !== undefined && isChoirName(words[group.place]?.text ?? ''),
    hand: withUse('hand').length > 0,
    articulation: withUse('articulation').join(' '),
    ...(key === undefined ? {} : { key }),
    rest: withUse('rest').sort().join(' '),
    plainName: plainNameOf(name, words, uses),
    undividedName: undividedNameOf(name, words, uses),
  };
}
