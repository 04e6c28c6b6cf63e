/** Which words of a track name are the instrument. */
import { instrumentById } from '../../model/music/catalogue.ts';
import type { Family } from '../../model/music/instrument.ts';
import { keyOfWords, lexicon, LONGEST_NAME_WORDS, sectionLexicon } from './lexicon.ts';
import type { Match } from './name-numbers.ts';
import { isNumber } from './name-numbers.ts';
import type { NameWord } from './name-words.ts';
import { ARTICULATION_WORDS, MIX_WORDS, SOLO_WORDS, spokenNumber } from './name-words.ts';
import type { NameGroup } from './name-groups.ts';
import { groupNamed, isPureGroup, SUNG } from './name-groups.ts';
import { WEAK_NAMES } from './weak-names.ts';

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

/**
 * Instruments that the catalogue lacks though their names hold one that it has. Taken for that one, they would be judged by a range that
 * is not theirs. Folded words; common practice, no source.
 */
const LACKING: ReadonlySet<string> = new Set(
  [
    'contrabass sax,contrabass saxophone,kontrabasssaxophon,contrabass recorder,great bass recorder,grossbassblockflote',
    'violino piccolo,piccolo violin,violon piccolo,tenor violin,bass viola,piccolo oboe,piccolo clarinet in ab,subcontrabass flute',
    'bass banjo,bass harmonica,bass ukulele,bass handbells,piccolo timpani,piccolo snare',
    'bass balalaika,balalaika bass,contrabass balalaika,balalaika contrabass,alto balalaika,balalaika alto,secunda balalaika,balalaika secunda',
    'alto domra,domra alto,bass domra,domra bass,tamburica,tamburitza,tambura,prim,bisernica,brac,bugarija,berde,cello tambura',
    'bajo sexto,bajo quinto,cuatro,cuatro venezolano,cuatro llanero,cuatro puertorriqueno,tres,jarana,jarana jarocha,leona jarocha,ronroco,tiple',
    'viola de cocho,laud,laouto,laud espanol,saz,baglama,tanbur,ney,nay,kaval,gaida,gadulka,kemence,kemenche,cretan lyra,pontic lyra',
    'northumbrian smallpipes,northumbrian pipes,smallpipes,small pipes,sackpipa,langeleik,crwth,jouhikko,talharpa,tagelharpa,willow flute,seljefloyte,appalachian dulcimer,mountain dulcimer',
    'mandolone,mandobass,mando bass,mandriola,liuto cantabile,gitarrone',
    'tanpura,sarangi,ngoni,ruan,zhongruan,liuqin,sheng,suona,xiao,guqin,gayageum,haegeum,daegeum,biwa,didgeridoo',
    'crumhorn,krummhorn,cromorne,cromorno,rebec,rebab,chalumeau,bandola,bandola llanera,gaita,tromba marina,trumscheit',
    'txistu,gralla,tible,tenora,flabiol,galoubet,launeddas,alphorn,musical saw,singende sage,scie musicale,jaw harp,maultrommel,nose flute',
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
  /** Group that the name puts before the instrument, and the place of that word. */
  readonly group?: NameGroup & { readonly place: number };
  /** Other names beside it that are not part of it, in order of the name. */
  readonly others: readonly Match[];
}

/** Whether a name of the lexicon can be an instrument of a family. */
function canBe(key: string, family: Family): boolean {
  return (lexicon.get(key)?.candidates ?? []).some((id) => instrumentById(id)?.family === family);
}

/** Letters that stand for the four voices, and words beside which they do: S solo, T tutti, Ens. B. */
const VOICE_LETTERS: ReadonlySet<string> = new Set(['s', 'a', 't', 'b']);
const BESIDE_LETTER: ReadonlySet<string> = new Set('tutti ens ensemble unis div coro ripieno'.split(' '));

/** A single letter is a name only where it is the whole name (S A T B), follows the group (Choir S), is numbered (V1 Spic) or sung alone (S solo). */
function isLetterName(words: readonly NameWord[], match: Match): boolean {
  return words.every((word, index) => {
    if (index === match.from || isNumber(word) || spokenNumber(word.text) !== undefined) return true;
    const group = groupNamed(word.text);
    if (group !== undefined && index < match.from && holdsAny(group, match.key)) return true;
    if (VOICE_LETTERS.has(match.key) && (index > match.from || match.key === 's' || match.key === 't'))
      if (SOLO_WORDS.has(word.text) || BESIDE_LETTER.has(word.text)) return true;
    if (match.key !== 'v' && BESIDE_LETTER.has(word.text) && VOICE_LETTERS.has(match.key)) return true;
    return isNumber(words[match.to]) && (ARTICULATION_WORDS.has(word.text) || MIX_WORDS.has(word.text));
  });
}

/** Brass Stabs are the brass; a stab alone is a synthesiser's. */
function isStabOfGroup(words: readonly NameWord[], { key }: Match): boolean {
  return (key === 'stab' || key === 'stabs') && words.some(({ text }) => sectionLexicon.has(text));
}

function holdsAny({ holds }: NameGroup, key: string): boolean {
  return (lexicon.get(key)?.candidates ?? []).some(holds);
}

/** The group that the first name is to the second, if it is one: BR Horns, Hns - Tpt, SYN Texture. */
function groupOf(words: readonly NameWord[], first: Match, second: Match): NameGroup | undefined {
  const group = groupNamed(first.key);
  if (group === undefined || !holdsAny(group, second.key)) return undefined;
  const between = words.slice(first.to, second.from + 1);
  const isJoined = between.some(
    (word) =>
      isJoint(word.text) ||
      (isPureGroup(first.key) ? /[+&]/.test(word.between) : word.apart && !/[:|]/.test(word.between)),
  );
  if (isJoined) return undefined;
  if (group.kind === 'horns') {
    // Hns - Tpt is a trumpet of the horns of a band; Horn 1 Tpt, Horns Trombones and Horn, Tenor are not.
    const isDashed = /[-–—_:|>)\]]/.test(words[second.from]?.between ?? '');
    const isPlain = !between.some(isNumber) && (isDashed || lexicon.get(second.key)?.plural !== true);
    const isWeak = WEAK_NAMES.has(second.key) && !['horns', 'hns', 'horn section', 'hrns'].includes(first.key);
    if (!isPlain || isWeak || /,/.test(words[second.from]?.between ?? '')) return undefined;
  }
  return group.kind === 'synthesiser' && /\bhits?\b/.test(second.key) ? undefined : group;
}

function isSungKind(key: string): boolean {
  return (lexicon.get(key)?.candidates ?? []).some((id) => /^voice-/.test(id));
}

/** Words before brackets that are no role: Reed 4 (Bari), Solo (Tenor), Line 2 (alto). */
const NO_ROLE: ReadonlySet<string> = new Set(
  'reed reeds book buch player spieler chair line linie voice stimme voix voce vocal vox lead harmony double track part choir chor'.split(
    ' ',
  ),
);

/** Places of the words that stand in brackets. */
function inBrackets(words: readonly NameWord[]): readonly boolean[] {
  let open = false;
  return words.map(({ between }) => {
    const opened = between.lastIndexOf('(');
    const closed = between.lastIndexOf(')');
    if (opened !== closed) open = opened > closed;
    return open;
  });
}

/** The kind of voice behind the name of a role: TOBIAS (bari), Contessa (sop.). */
function isKindOfRole(words: readonly NameWord[], first: Match): boolean {
  const isInside = inBrackets(words);
  if (isInside[first.from] !== true || !isSungKind(first.key) || words[0] === undefined || isInside[0] === true)
    return false;
  return words
    .slice(0, first.from)
    .some(
      ({ text }) =>
        /\p{L}{3}/u.test(text) &&
        [NO_ROLE, SOLO_WORDS, MIX_WORDS, ARTICULATION_WORDS, sectionLexicon].every((list) => !list.has(text)),
    );
}

/**
 * The instrument in brackets behind the name of a line or a role: Sopran (Trp.), Alto (Viola), Tom (tenor). Undefined where brackets do not
 * tell who plays.
 */
function explainedInBrackets(words: readonly NameWord[], first: Match, apart: readonly Match[]): Match | undefined {
  const isOpen = inBrackets(words);
  const inside = apart.filter((match) => isOpen[match.from] === true);
  const [only] = inside;
  if (only === undefined || inside.length > 1 || isOpen[first.from] === true || apart.length > 2) return undefined;
  const role = lexicon.get(first.key)?.candidates ?? [];
  if (isSungKind(first.key) && !canBe(only.key, 'voice') && !WEAK_NAMES.has(only.key) && !isEffect(only)) return only;
  const isDrum = role.every((id) => instrumentById(id)?.family === 'percussion');
  return isDrum && isSungKind(only.key) ? only : undefined;
}

/**
 * The instrument meant: longer names before the shorter ones inside them, weak names only for want of others, the first of what is left;
 * a group before its instrument is only its group.
 */
export function chooseMatch(words: readonly NameWord[]): Choice | undefined {
  const matches = matchesIn(words, (key) => lexicon.has(key) || LACKING.has(key)).filter(
    (match) => (match.key.length > 1 || isLetterName(words, match)) && !isStabOfGroup(words, match),
  );
  const apart: Match[] = [];
  for (const match of matches) {
    if (apart.every((other) => match.to <= other.from || match.from >= other.to)) apart.push(match);
  }
  apart.sort((a, b) => a.from - b.from);
  const [first, second] = apart;
  const group = first === undefined || second === undefined ? undefined : groupOf(words, first, second);
  if (first !== undefined && second !== undefined && group !== undefined) {
    const strong = apart.slice(2).filter((other) => other.words > 1 || !WEAK_NAMES.has(other.key));
    return { lacking: LACKING.has(second.key), match: second, others: strong, group: { ...group, place: first.from } };
  }
  if (first !== undefined && isKindOfRole(words, first)) {
    return { lacking: false, match: first, others: [], group: { ...SUNG, place: first.from } };
  }
  const bracketed = first === undefined ? undefined : explainedInBrackets(words, first, apart);
  if (bracketed !== undefined) return { lacking: LACKING.has(bracketed.key), match: bracketed, others: [] };
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
