/** Which words of a track name are the instrument. */
import { instrumentById } from '../model/catalogue.ts';
import type { Family } from '../model/instrument.ts';
import { keyOfWords, lexicon, LONGEST_NAME_WORDS } from './lexicon.ts';
import type { Match } from './name-numbers.ts';
import { isNumber } from './name-numbers.ts';
import type { NameWord } from './name-words.ts';
import { ARTICULATION_WORDS, MIX_WORDS, spokenNumber } from './name-words.ts';

/** Words of a name without its key: a contrabass clarinet in B flat is first of all that, not a contrabass and a clarinet in B flat. */
function coreWords(key: string): number {
  const words = key.split(' ');
  const keyPlace = words.findIndex((word) => word === 'in' || word === 'en');
  return keyPlace > 0 ? keyPlace : words.length;
}

/** All names of the lexicon in the words, longest first, then leftmost; numbers inside a name are passed over. */
export function matchesIn(words: readonly NameWord[], isName: (key: string) => boolean): Match[] {
  const found: Match[] = [];
  for (let from = 0; from < words.length; from++) {
    const first = words[from];
    if (first === undefined || isNumber(first) || spokenNumber(first.text) !== undefined) continue;
    const texts: string[] = [];
    for (let to = from; to < words.length && texts.length < LONGEST_NAME_WORDS; to++) {
      const word = words[to];
      if (word === undefined || isNumber(word) || (to > from && word.apart)) break;
      if (spokenNumber(word.text) !== undefined) continue;
      texts.push(word.text);
      const key = keyOfWords(texts);
      if (isName(key)) found.push({ from, to: to + 1, key, words: texts.length });
    }
  }
  return found.sort(
    (a, b) =>
      coreWords(b.key) - coreWords(a.key) || b.words - a.words || b.key.length - a.key.length || a.from - b.from,
  );
}

/** Words that are an instrument only where nothing else in the name is one (they are as often a manner of playing). */
const WEAK_NAMES: ReadonlySet<string> = new Set([
  'ten',
  'vib',
  'piano',
  'pf',
  'harm',
  'port',
  'grand',
  'bass',
  'tam',
  'bar',
  'str',
  'strings',
  'contra',
  'keys',
  'alto',
  'tenor',
  'voice',
  'voices',
  'vocal',
  'chor',
  'choir',
  'kit',
  'tri',
  'ride',
  'crash',
  'cast',
  'acc',
  'accent',
  'basso',
  'legno',
  'chant',
  'canto',
  'solo piano',
  'lead',
  'sub',
  'arp',
  'vox',
  'whistle',
  'loop',
  'beat',
  'static',
]);

/**
 * Words by which track lists put instruments in groups (BR Horns, PERC Timpani, Choir Alto), with the family of the group. Before an
 * instrument of that family they name no instrument of their own: BR alone is the Bratsche, before a horn the brass.
 */
const GROUP_WORDS: ReadonlyMap<string, Family> = new Map<string, Family>([
  ['br', 'brass'],
  ['perc', 'percussion'],
  ['percussion', 'percussion'],
  ['str', 'strings'],
  ['strings', 'strings'],
  ['keys', 'keyboard'],
  ['choir', 'voice'],
  ['chorus', 'voice'],
  ['chor', 'voice'],
  ['coro', 'voice'],
  ['choeur', 'voice'],
]);

/**
 * Instruments that the catalogue lacks though their names hold one that it has. Taken for that one, they would be judged by a range that
 * is not theirs. Folded words; common practice, no source.
 */
const LACKING: ReadonlySet<string> = new Set(
  [
    'contrabass sax,contrabass saxophone,kontrabasssaxophon,contrabass recorder,great bass recorder,grossbassblockflote',
    'violino piccolo,piccolo violin,violon piccolo,tenor violin,bass viola,piccolo oboe,piccolo clarinet in ab,subcontrabass flute',
    'bass banjo,bass balalaika,contrabass balalaika,bass harmonica,bass ukulele,bass handbells,piccolo timpani,piccolo snare',
  ].flatMap((line) => line.split(',')),
);

/** Words behind an instrument that make another of it: Tbn 3 Bass, Sax 1 (Alto). */
const SIZES: ReadonlySet<string> = new Set(
  'bass basso basse alto contralto tenor tenore soprano baritone bari'.split(' '),
);

/** Effects are the last thing that a name means: Cello Hits and Strings FX are the cello and the strings. */
function isEffect({ key }: Match): boolean {
  return lexicon.get(key)?.candidates[0] === 'sound-effect';
}

function isAnyVoice({ key }: Match): boolean {
  return lexicon.get(key)?.candidates[0] === 'voice';
}

interface Choice {
  /** True where the match is an instrument that the catalogue lacks. */
  readonly lacking: boolean;
  readonly match: Match;
  /** Family of the group that the name puts before the instrument, and the place of that word. */
  readonly group?: { readonly family: Family; readonly place: number };
  /** Other names beside it that are not part of it, in order of the name. */
  readonly others: readonly Match[];
}

/** Whether a name of the lexicon can be an instrument of a family. */
function canBe(key: string, family: Family): boolean {
  return (lexicon.get(key)?.candidates ?? []).some((id) => instrumentById(id)?.family === family);
}

/**
 * The instrument meant: longer names before the shorter ones inside them, weak names only for want of others, the first of what is left;
 * a group before its instrument is only its group.
 */
export function chooseMatch(words: readonly NameWord[]): Choice | undefined {
  const matches = matchesIn(words, (key) => lexicon.has(key) || LACKING.has(key)).filter(
    // A single letter is a name only where it is the whole name (S A T B), follows the group (Choir S) or is numbered (V1 Spic).
    (match) =>
      match.key.length > 1 ||
      words.every(
        (word, index) =>
          index === match.from ||
          isNumber(word) ||
          spokenNumber(word.text) !== undefined ||
          GROUP_WORDS.get(word.text) === 'voice' ||
          (isNumber(words[match.to]) && (ARTICULATION_WORDS.has(word.text) || MIX_WORDS.has(word.text))),
      ),
  );
  const apart: Match[] = [];
  for (const match of matches) {
    if (apart.every((other) => match.to <= other.from || match.from >= other.to)) apart.push(match);
  }
  apart.sort((a, b) => a.from - b.from);
  const [first, second] = apart;
  const family = first === undefined ? undefined : GROUP_WORDS.get(first.key);
  if (first !== undefined && second !== undefined && family !== undefined) {
    const joined = words.slice(first.to, second.from + 1).some((word) => word.apart || isJoint(word.text));
    if (!joined && canBe(second.key, family)) {
      const strong = apart.slice(2).filter((other) => other.words > 1 || !WEAK_NAMES.has(other.key));
      return { lacking: LACKING.has(second.key), match: second, others: strong, group: { family, place: first.from } };
    }
  }
  const named = apart.filter((match) => !isEffect(match) && (match.words > 1 || !WEAK_NAMES.has(match.key)));
  // Singstimme (Sopran): the kind of voice says more than that it is one.
  const ofVoice = named.some(isAnyVoice)
    ? apart.filter((match) => !isAnyVoice(match) && match.key !== 'choir' && canBe(match.key, 'voice'))
    : [];
  const strong =
    ofVoice.length > 0
      ? [...ofVoice, ...named.filter((match) => !isAnyVoice(match) && !ofVoice.includes(match))]
      : named;
  const match =
    strong[0] ?? apart.find((weak) => !isEffect(weak) && weak.key !== 'sub') ?? apart.find(isEffect) ?? first;
  if (match === undefined) return undefined;
  const others = strong.filter((other) => other !== match);
  return { lacking: LACKING.has(match.key), match: sized(words, match, others), others };
}

/** The match with the size that stands behind it beyond a number, where that makes an instrument: bass trombone for Tbn 3 Bass. */
function sized(words: readonly NameWord[], match: Match, others: readonly Match[]): Match {
  let place = match.to;
  while (isNumber(words[place])) place++;
  const size = words[place];
  if (place === match.to || size === undefined || size.apart || !SIZES.has(size.text)) return match;
  if (others.some((other) => place >= other.from && place < other.to)) return match;
  const key = `${size.text} ${match.key}`;
  return lexicon.has(key) ? { ...match, key } : match;
}

function isJoint(word: string): boolean {
  return ['and', 'und', 'et', 'e', 'u'].includes(word);
}
