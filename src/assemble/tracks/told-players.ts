/**
 * How many play a part, where a note says so: `Strings are 4-3-2-2`, `Choir is 4-4-4-4`, `4 violins and 2 cellos`, `violas 2, cellos 2`, `one player
 * on each part`, `etwa 25 im Chor`, `4 Blockflöten je Stimme`.
 */
import { instrumentById } from '../../model/music/catalogue.ts';
import type { RawMemo } from '../../read/raw.ts';
import type { NameReader } from '../names/source-track.ts';
import { comparableName, foldText } from '../names/text.ts';
import { sentencesOf } from '../user-notes-and-settings/told-tracks.ts';
import type { PartDraft } from './group-parts.ts';
import { playersByPeople } from './player-words.ts';
import type { Hearing } from './spoken-players.ts';
import { eachNoun } from './shared-nouns.ts';
import { asMembers, BY_PLACE, spokenPlayers, toldMembers } from './spoken-players.ts';

const PEOPLE =
  'children|kids|singers|players|people|voices|kinder|sänger(?:innen)?|spieler|leute|stimmen|enfants|chanteurs|bambini|coristi|niños|cantores|cantantes';
const ABOUT = String.raw`(?:about|around|circa|ca\.?|etwa|ungefähr|rund|environ)`;
/** What may stand before a number of people; after other words it may be a bar, a beat or an hour. */
const BEFORE = String.raw`(?:^|[,;:(]\s*|\b(?:${ABOUT}|are|is|sind|have|haben|has|hat|only|nur|with|mit|avec|con|com|sont|sono|son|são|of|just)\s+)`;
const WORD = String.raw`([\p{L}][\p{L}.-]*)`;
const CHOIR = String.raw`(?:choir|chorus|chor|coro|ch(?:oe|œ)ur|koor|kör|kor)`;
const OPENS = new RegExp(`${BEFORE}$`, 'iu');
const IS_CHOIR = new RegExp(`^${CHOIR}$`, 'iu');
const IN_CHOIR = new RegExp(
  String.raw`${BEFORE}(\d{1,3})\s+(?:(?:${PEOPLE})\s+)?(?:im|in der|in the|in|dans le|nel|en el|no)\s+${WORD}`,
  'iu',
);
const CHOIR_OF = new RegExp(
  String.raw`(?<![\p{L}])${WORD}\s+(?:of|with|mit|von|de|di|avec|con|com|med|van)\s+(?:${ABOUT}\s+)?(\d{1,3})(?:\s+(?:${PEOPLE})(?![\p{L}])|\s*(?:$|[,;:.!)]))`,
  'iu',
);
const TO_A_PART = new RegExp(
  String.raw`(\d{1,2})\s+${WORD}\s+(?:(?:je|pro)\s+(?:stimme|part)|(?:per|to a|to each|on each|a)\s+part|par\s+(?:partie|voix)|per\s+(?:parte|voce)|por\s+(?:voz|parte))(?![\p{L}])`,
  'iu',
);
const TWOS = ['zweit', 'dritt', 'viert', 'fünft', 'sechst'];
const BY_TWOS = new RegExp(String.raw`${WORD}\s+zu\s+(${TWOS.join('|')})(?![\p{L}])`, 'iu');
const FOLDS = ['doppelt', 'dreifach', 'vierfach', 'fünffach', 'sechsfach'];
const FOLD = new RegExp(String.raw`${WORD}\s+(?:(?:ist|sind)\s+)?(${FOLDS.join('|')})\s+besetzt(?![\p{L}])`, 'iu');
const ONE_EACH = new RegExp(
  String.raw`(?<![\p{L}])(?:ein|one|une?|uno|una)\s+(?:kind|spieler|player|child|kid|enfant|joueur|bambino|niño)\s+(?:je|pro|per|on each|to each|par|a)\s+${WORD}`,
  'iu',
);
/** Nobody shares a part: of all, or of the group that is named with it. */
const ONE_TO_A_PART = new RegExp(
  String.raw`(?<![\p{L}])(?:${[
    String.raw`(?:one|a single)\s+(?:(?:player|musician|singer|voice|person|instrument)\s+)?(?:on|to|per|for)\s+(?:(?:a|each|every)\s+)?(?:part|line)`,
    String.raw`(?:one|a single)\s+(?:player|musician|singer)\s+each`,
    String.raw`je\s+eine?r?(?:\s+(?:spieler(?:in)?|musiker(?:in)?|sänger(?:in)?))?(?=\s*(?:$|[.,;)]))`,
    String.raw`un[oae]?\s+(?:(?:musicien|joueur|esecutore|musicista|músico)(?:ne|se)?\s+)?(?:chacune?|ciascun[oa]|cada\s+un[oa])`,
    'one[- ]to[- ]a[- ]part',
    String.raw`(?:je\s+)?eine?r?\s+(?:(?:spieler(?:in)?|musiker(?:in)?|sänger(?:in)?)\s+)?(?:pro|je)\s+(?:stimme|part)`,
    String.raw`(?:einfach|solistisch)\s+besetzt`,
    String.raw`jede\s+(?:stimme|partie)\s+(?:nur\s+)?eine?r?(?:\s+allein)?`,
    String.raw`(?:each|every)\s+(?:part|voice|line)\s+(?:(?:has|is)\s+)?(?:only\s+)?one(?:\s+(?:player|singer))?`,
    String.raw`une?\s+(?:(?:musicien|joueur|chanteur|instrument)(?:ne|se)?\s+)?par\s+(?:partie|voix|pupitre)`,
    String.raw`un[oa]?\s+(?:(?:musicista|esecutore|cantante|músico|persona|voce|voz)\s+)?(?:sola\s+)?(?:per|por)\s+(?:parte|voce|voz|cuerda)`,
    String.raw`uma?\s+(?:(?:músic[oa]|cantor[a]?|pessoa)\s+)?(?:só\s+)?por\s+(?:parte|voz|naipe)`,
    String.raw`une?\s+(?:seule?\s+)?personne\s+par\s+(?:partie|voix|pupitre)`,
    String.raw`eine\s+person\s+(?:pro|je)\s+(?:stimme|part)`,
    'one of each',
    String.raw`von\s+jede[mr]\s+(?:instrument\s+)?(?:(?:sitzt|spielt|gibt es|ist|haben wir)\s+)?(?:genau\s+|nur\s+)?ein(?:e[rs]?)?`,
    String.raw`une?\s+de\s+chaque`,
    String.raw`(?:(?:is|are|plays?)\s+)?(?:all\s+)?(?:on\s+(?:their|his|her)\s+own|by\s+themsel(?:f|ves))`,
    String.raw`(?:(?:ist|sind|spielt|spielen)\s+)?(?:alle\s+)?(?:allein(?:e)?|solistisch)(?=\s*(?:$|[,;.)]))`,
    String.raw`(?:est|sont|jouent?)\s+(?:tou(?:te)?s\s+)?seule?s?(?=\s*(?:$|[,;.)]))`,
    String.raw`(?:è|sono|suonano?)\s+(?:tutt[ie]\s+)?(?:da\s+)?sol[oaie](?=\s*(?:$|[,;.)]))`,
    String.raw`(?:están?|va|van|tocan?|toca)\s+(?:tod[oa]s\s+)?sol[oa]s?(?=\s*(?:$|[,;.)]))`,
    String.raw`(?:está|estão|tocam?|vai|vão)\s+(?:tod[oa]s\s+)?sozinh[oa]s?`,
    String.raw`un[oa]?\s+di\s+(?:ogni|ciascuno)`,
    String.raw`un[oa]?\s+de\s+cada`,
    String.raw`uma?\s+de\s+cada`,
  ].join('|')})(?![\p{L}])`,
  'iu',
);
const EXCEPT =
  /(?<![\p{L}])(?:except|but|besides|außer|bis auf|sauf|tranne|salvo|excepto|exceto|menos|not|nicht|non|no)(?![\p{L}])/iu;
/** That nobody stands in excepts nobody: `una persona por voz, no hay suplentes`. */
const NOBODY_MORE =
  /(?<![\p{L}])(?:no hay|non ci sono|il n['’]y a pas de|não há|there are no|no|keine?|sans|sin|ohne|without|senza|sem)\s+(?:suplentes|sustitutos|refuerzos|deput(?:y|ies)|substitutes?|subs|spares?|doublings?|aushilfen?|ersatz\p{L}*|verdopplung\p{L}*|rempla[cç]ante?s?|doublures?|sostituti|raddoppi|substitutos)(?![\p{L}])/giu;
/** Numbers of desks are given in the order of the score: strings from the first violins down, a choir from the sopranos (common practice, no source). */
const NO_BARS = String.raw`(?![^\d]*(?<![\p{L}])(?:in|im|from|ab|von|bis|until|till|at|bars?|takte?n?|mes(?:ures?)?|bat+uta?e?|comp(?:ases|assos)?)\.?\s*\d)`;
const sizesBehind = (group: string): RegExp =>
  new RegExp(
    String.raw`(?<![\p{L}])(?:${group})(?![\p{L}])${NO_BARS}[^.\d]{0,20}?(\d{1,2}(?:\s*[-–/+,]\s*\d{1,2}){3,4})(?![-–/.,\d]*\d)`,
    'iu',
  );
const DESKS = sizesBehind(
  String.raw`strings?(?: section)?|streicher\p{L}*|archi|cordes|cuerdas|cordas|strijkers|stråkar|strygere?`,
);
const VOICES = sizesBehind(String.raw`${CHOIR}|satb|voices|stimmen|singers|sänger`);

const SPOKEN: ReadonlyMap<string, number> = new Map(
  [
    'one eine ein einen une uno una um uma',
    'two zwei deux due dos dois duas',
    'three drei trois tre tres',
    'four vier quatre quattro cuatro quatro',
    'five funf cinq cinque cinco',
    'six sechs sei seis',
    'seven sieben sept sette siete sete',
    'eight acht huit otto ocho oito',
    'nine neun neuf nove nueve',
    'ten zehn dix dieci diez dez',
  ].flatMap((words, place) => words.split(' ').map((word): [string, number] => [word, place + 1])),
);
const ORDER = String.raw`(?:(?:1st|2nd|3rd|4th|first|second|third|fourth|erste|zweite|dritte|vierte|ersten|zweiten|premi(?:er|ère)s|secon(?:de?s)|deuxièmes|primi|prime|second[ie]|primer[oa]s|segund[oa]s|primeir[oa]s)\s+)?`;
const NUMBER_WORDS = [...SPOKEN.keys()]
  .map((word) => word.replace('funf', 'fünf').replace(/^tres$/, 'tr[eê]s'))
  .join('|');
const withEachNoun = eachNoun(NUMBER_WORDS);
/** Says one only in a row of numbers: elsewhere it counts nobody. */
const ARTICLES: readonly string[] = ['a', 'an'];
const COUNTED = new RegExp(
  String.raw`(?<![\p{L}\d.,:/–-])([1-9]\d?|${[...ARTICLES, NUMBER_WORDS].join('|')})\s+(${ORDER}[\p{L}][\p{L}-]+)`,
  'giu',
);
const AND = /^\s*(?:,|and|und|et|y|e|plus|\+|&|,\s*(?:and|und|et|y|e))\s*$/iu;
const LIST = /\s*(?:,|;|:|\s(?:and|und|et|y|e|plus)\s)\s*/iu;
const NAMED_FIRST = new RegExp(String.raw`^(${ORDER}[\p{L}][\p{L}.-]+)\s*[:=x×]?\s*(\d{1,2})[.!]?$`, 'iu');

/** `violins are two`, `violines somos dos`. */
const ARE_MANY = new RegExp(
  String.raw`(?<![\p{L}])(${ORDER}[\p{L}][\p{L}-]+)\s+(?:are|sind|somos|son|siamo|sono|são|sommes|sont|seremos|waren|were)\s+(?:(?:only|just|nur|bloß|solo|sólo|só|seulement|${ABOUT})\s+)?(\d{1,2}|${NUMBER_WORDS})(?:\s+(?:${PEOPLE}))?\s*(?=$|[,;.!)])`,
  'iu',
);
/** Everybody whom no sentence names. */
const THE_REST =
  /(?<![\p{L}])(?:the rest|otherwise|every(?:one|body) else|sonst|ansonsten|sinon|altrimenti|everything else|all others|all the others|alle[sr]? andere[nr]?|(?:der|die|das) (?:rest|übrigen)|todo lo demás|(?:los|las) demás|el resto|le reste|tout le reste|les autres|tutto il resto|gli altri|o resto|(?:os|as) demais)(?![\p{L}])/iu;

const GROUPS: readonly { readonly word: RegExp; readonly families: readonly string[] }[] = [
  { word: /^(?:strings?|streicher\p{L}*|archi|cordes|cuerdas|strijkers|strakar|strygere?)$/u, families: ['strings'] },
  { word: /^(?:woodwinds?|holzblaser|holz|bois|legni|maderas|madeiras)$/u, families: ['woodwind'] },
  { word: /^(?:brass|blech\p{L}*|cuivres|ottoni|metales|metais)$/u, families: ['brass'] },
  { word: /^(?:winds?|blaser|vents|fiati|vientos|sopros)$/u, families: ['woodwind', 'brass'] },
  { word: /^(?:choir|chorus|chor|coro|choeur|koor|kor|voices|singers|stimmen|sanger)$/u, families: ['voice'] },
];

/** Words of everybody, though a lexicon of names has them. */
const GENERAL: ReadonlySet<string> = new Set(
  'instrument instruments instrumente part parts line lines voice voices solo everybody everyone ensemble band players orchestra salonorchester alle tutti'.split(
    ' ',
  ),
);

type ToldPlayers = NonNullable<PartDraft['toldPlayers']>;
type Counts = ReadonlyMap<PartDraft, number>;

const NOBODY: Counts = new Map<PartDraft, number>();

/** Families of sizes that one plain word means: recorders, and the bars of the schoolroom. */
const SIZES = /^(?:recorder|xylophone|metallophone|glockenspiel)(?=-|$)/;
/** A size in the word means that size alone. */
const SIZED = /sopran|soprano|descant|treble|alto?\b|alt|tenor|bass|contralto|\b[satb]\b/;

function isMeant(word: string, draft: PartDraft, read: NameReader): boolean {
  if (comparableName(word) === comparableName(draft.name)) return true;
  const { candidates, rest, matched, numbers } = read(word);
  if (candidates.length === 0 || rest !== '') return false;
  if (numbers.length > 0 && numbers.join() !== draft.numbers.join()) return false;
  const family = SIZES.exec(candidates[0] ?? '')?.[0];
  if (family !== undefined && !SIZED.test(matched)) return SIZES.exec(draft.instrument)?.[0] === family;
  return candidates.includes(draft.instrument);
}

/** The parts that a name may mean; a solo is told by its own. */
function partsCalled(name: string, drafts: readonly PartDraft[], read: NameReader): readonly PartDraft[] {
  return drafts.filter((draft) => !draft.solo && isMeant(name, draft, read));
}

/** The number that a word or figures say. */
function numberOf(text: string): number {
  return ARTICLES.includes(text.toLowerCase()) ? 1 : (SPOKEN.get(foldText(text)) ?? Number(text));
}

function familyOf({ instrument }: PartDraft): string {
  return instrumentById(instrument)?.family ?? '';
}

/** Sizes given to the parts that are the only ones of their kind; nothing where one is missing, as the numbers may then be of others. */
function inOrder(sizes: readonly number[], parts: readonly (readonly PartDraft[])[]): Counts {
  const desks = parts.slice(0, sizes.length);
  if (desks.length < sizes.length || desks.some(({ length }) => length !== 1)) return NOBODY;
  return new Map(desks.flatMap(([desk], place) => (desk === undefined ? [] : [[desk, sizes[place] ?? 1] as const])));
}

function sizesIn(sentence: string, drafts: readonly PartDraft[]): Counts {
  const of = (instrument: string, number?: number): readonly PartDraft[] =>
    drafts.filter(
      (draft) =>
        draft.instrument === instrument &&
        !draft.solo &&
        (number === undefined || draft.numbers.join() === String(number)),
    );
  const numbersOf = (pattern: RegExp): readonly number[] => pattern.exec(sentence)?.[1]?.split(/\D+/).map(Number) ?? [];
  return new Map([
    ...inOrder(numbersOf(DESKS), [of('violin', 1), of('violin', 2), of('viola'), of('cello'), of('double-bass')]),
    ...inOrder(numbersOf(VOICES), [of('voice-soprano'), of('voice-alto'), of('voice-tenor'), of('voice-bass')]),
  ]);
}

/** Voices that a choir has at least where it is written out: fewer are soloists or a duet. */
const FEWEST_VOICES = 3;

/** A number of singers given to the choir: to its one part, or alike to the voices that it is written in. */
function ofChoir(word: string, singers: number, drafts: readonly PartDraft[], read: NameReader): Counts {
  const sung = drafts.filter((draft) => familyOf(draft) === 'voice');
  const named = sung.filter((draft) => isMeant(word, draft, read));
  const [only] = named;
  if (only !== undefined) return named.length === 1 ? new Map([[only, singers]]) : NOBODY;
  if (!IS_CHOIR.test(word)) return NOBODY;
  const voices = sung.filter(({ solo, instrument }) => !solo && instrument.startsWith('voice-'));
  if (voices.length < FEWEST_VOICES) return NOBODY;
  return new Map(voices.map((voice) => [voice, Math.round(singers / voices.length)]));
}

/** Players of an instrument shared alike among its parts; nothing where they cannot be. */
function sharedOut(players: number, meant: readonly PartDraft[]): Counts {
  const each = players / meant.length;
  return meant.length > 0 && Number.isInteger(each) ? new Map(meant.map((draft) => [draft, each])) : NOBODY;
}

/** `4 violins and 2 cellos`: a number, then who plays; the first after words that say how many there are, the others behind it. */
function countedIn(sentence: string, drafts: readonly PartDraft[], read: NameReader): Counts {
  const told = new Map<PartDraft, number>();
  let end: number | undefined;
  let areViolins = false;
  for (const match of sentence.matchAll(COUNTED)) {
    const [all, count = '', word = ''] = match;
    const players = numberOf(count);
    const isNext = end !== undefined && AND.test(sentence.slice(end, match.index));
    const isOpen = OPENS.test(sentence.slice(0, match.index)) && !ARTICLES.includes(count.toLowerCase());
    // Violins by their place alone, behind a number of others: 4 first violins, 3 seconds.
    const place = isNext && areViolins ? BY_PLACE.get(foldText(word)) : undefined;
    const name = place === undefined ? word : `violins ${String(place)}`;
    const reading = read(name);
    if ((!isNext && !isOpen) || !(reading.plural || players === 1) || reading.candidates.length === 0) continue;
    end = match.index + all.length;
    areViolins = reading.candidates.includes('violin');
    // Two kettledrums are one player's.
    const meant = partsCalled(name, drafts, read).filter((draft) => familyOf(draft) !== 'percussion');
    for (const [draft, own] of sharedOut(players, meant)) told.set(draft, own);
  }
  return told;
}

/** `Horns: 2`: a sentence that says nothing else. */
const ONE_COUNT = new RegExp(
  String.raw`^(${ORDER}[\p{L}][\p{L}.-]+)\s*[:=×]\s*(\d{1,2}|${NUMBER_WORDS})(?:\s+(?:${PEOPLE}))?[.!]?$`,
  'iu',
);

/** The players of a name and a number alone; nothing where the number may be that of a part. */
function countAlone(sentence: string, drafts: readonly PartDraft[], read: NameReader): Counts {
  const [, name = '', count = ''] = ONE_COUNT.exec(sentence) ?? [];
  return read(name).plural ? sharedOut(numberOf(count), partsCalled(name, drafts, read)) : NOBODY;
}

/** `violins 4, violas 2, cellos 2`: at least two of them, no instrument twice, and nobody who has that number by name. */
function namedFirstIn(sentence: string, drafts: readonly PartDraft[], read: NameReader): Counts {
  const items = sentence.split(LIST).flatMap((piece) => {
    const [, name = '', count = ''] = NAMED_FIRST.exec(piece.trim()) ?? [];
    const meant = partsCalled(name, drafts, read);
    return read(name).plural && meant.length > 0 ? [{ meant, players: Number(count) }] : [];
  });
  const isNumbered = items.some(({ meant, players }) => meant.some(({ numbers }) => numbers.includes(players)));
  const isTwice = new Set(items.flatMap(({ meant }) => meant)).size < items.flatMap(({ meant }) => meant).length;
  if (items.length < 2 || isNumbered || isTwice) return NOBODY;
  return new Map(items.flatMap(({ meant, players }) => [...sharedOut(players, meant)]));
}

/** True where words of a sentence, up to three on end, are a name of players: who is not there yet is meant, not everybody else. */
function saysSomebody(sentence: string, read: NameReader): boolean {
  const words = sentence.match(/[\p{L}][\p{L}-]*|[,;:]/gu) ?? [];
  return words.some(
    (word, at) =>
      word.length > 3 &&
      !GENERAL.has(foldText(word)) &&
      [1, 2, 3].some((count) => {
        const { candidates, rest } = read(words.slice(at, at + count).join(' '));
        return candidates.length > 0 && rest === '';
      }),
  );
}

/** `one player on each part`: those that the sentence names with it, else all; a choir that is one part is many. */
function oneToAPart(sentence: string, drafts: readonly PartDraft[], read: NameReader): Counts {
  const found = ONE_TO_A_PART.exec(sentence);
  if (found === null || EXCEPT.test(sentence.replace(NOBODY_MORE, ' '))) return NOBODY;
  const words = sentence.replace(found[0], ' ').match(/[\p{L}][\p{L}-]*/gu) ?? [];
  const families = words.flatMap((word) => GROUPS.find((group) => group.word.test(foldText(word)))?.families ?? []);
  const named = THE_REST.test(sentence)
    ? drafts
    : drafts.filter(
        (draft) =>
          families.includes(familyOf(draft)) ||
          words.some((word) => word.length > 3 && read(word).candidates.length > 0 && isMeant(word, draft, read)),
      );
  const isOfSomebody = families.length > 0 || saysSomebody(sentence.replace(found[0], ','), read);
  const meant = named.length > 0 ? named : isOfSomebody ? [] : drafts;
  return new Map(meant.filter(({ instrument }) => instrument !== 'choir').map((draft) => [draft, 1]));
}

function hearingOf(drafts: readonly PartDraft[], read: NameReader): Hearing {
  return {
    drafts,
    read,
    isMeant: (name, draft) => isMeant(name, draft, read),
    words: `un|${NUMBER_WORDS}`,
    numberOf: (text) => (foldText(text) === 'un' ? 1 : numberOf(text)),
  };
}

/** A sentence of a note, and the one in front of it or ''. */
interface Said {
  readonly quote: string;
  readonly before: string;
  readonly file: string;
  /** True of a note about a later stage, in which other people may have joined. */
  readonly isLater: boolean;
}

/** The sentences of a note; a heading's number is that of a stage or a section. */
function saidIn(memo: RawMemo, isLater: boolean): readonly Said[] {
  const sentences = sentencesOf(
    /^\d/.test(memo.heading) ? { ...memo, heading: memo.heading.replace(/^\d+\W*/, '') } : memo,
  );
  return sentences.flatMap((quote, place) =>
    quote.endsWith('?') ? [] : [{ quote, before: sentences[place - 1] ?? '', file: memo.file, isLater }],
  );
}

/** What one sentence says of each part, in a stage with these. */
function playersIn(
  { quote, before, isLater }: Said,
  drafts: readonly PartDraft[],
  read: NameReader,
): ReadonlyMap<PartDraft, number> {
  const sentence = withEachNoun(quote);
  const named = (word: string | undefined, players: number, isOfEach: boolean): Counts => {
    const meant = drafts.filter((draft) => isMeant((word ?? '').replace(/[.]$/, ''), draft, read));
    return meant.length === 1 || isOfEach ? new Map(meant.map((draft) => [draft, players])) : NOBODY;
  };
  const inChoir = IN_CHOIR.exec(sentence);
  const choirOf = CHOIR_OF.exec(sentence);
  const toAPart = TO_A_PART.exec(sentence);
  const byTwos = BY_TWOS.exec(sentence);
  const fold = FOLD.exec(sentence);
  const oneEach = ONE_EACH.exec(sentence);
  const [, many = '', count = ''] = ARE_MANY.exec(sentence) ?? [];
  const told = new Map([
    ...spokenPlayers(sentence, hearingOf(drafts, read)),
    ...oneToAPart(sentence, drafts, read),
    ...(isLater ? NOBODY : playersByPeople(sentence, before, hearingOf(drafts, read))),
    ...countAlone(sentence, drafts, read),
    ...namedFirstIn(sentence, drafts, read),
    ...(read(many).plural ? sharedOut(numberOf(count), partsCalled(many, drafts, read)) : NOBODY),
    ...countedIn(sentence, drafts, read),
    ...sizesIn(sentence, drafts),
    ...(inChoir === null ? [] : ofChoir(inChoir[2] ?? '', Number(inChoir[1]), drafts, read)),
    ...(choirOf === null ? [] : ofChoir(choirOf[1] ?? '', Number(choirOf[2]), drafts, read)),
    ...(toAPart === null ? [] : named(toAPart[2], Number(toAPart[1]), true)),
    ...(fold === null ? [] : named(fold[1], 2 + FOLDS.indexOf((fold[2] ?? '').toLowerCase()), false)),
    ...(byTwos === null ? [] : named(byTwos[1], 2 + TWOS.indexOf((byTwos[2] ?? '').toLowerCase()), false)),
    ...(oneEach === null ? [] : named(oneEach[1], 1, true)),
  ]);
  return new Map([...told].filter(([, players]) => players >= 1));
}

/** The parts with what the notes say of their players; where two sentences differ about a part, neither counts. A question says nothing, and the people of a note `isLater` are of its stage. */
export function withToldPlayers(
  drafts: readonly PartDraft[],
  memos: readonly RawMemo[],
  read: NameReader,
  isLater: (memo: RawMemo) => boolean = () => false,
): readonly PartDraft[] {
  const told = new Map<PartDraft, ToldPlayers[]>();
  const said = memos.flatMap((memo) => saidIn(memo, isLater(memo)));
  const hear = (one: Said, isFree: (draft: PartDraft) => boolean): void => {
    const { quote, file } = one;
    for (const [draft, players] of playersIn(one, drafts, read)) {
      if (isFree(draft)) told.set(draft, [...(told.get(draft) ?? []), { players, file, quote }]);
    }
  };
  const grouped = new Map<PartDraft, PartDraft>();
  const hearing = hearingOf(drafts, read);
  for (const draft of drafts)
    for (const { quote, file } of said) {
      const members = grouped.has(draft) ? undefined : toldMembers(quote, draft, hearing);
      if (members === undefined) continue;
      const players = members.reduce((sum, { players: own }) => sum + own, 0);
      grouped.set(draft, { ...asMembers(draft, members), toldPlayers: { players, file, quote } });
    }
  for (const one of said) if (!THE_REST.test(one.quote)) hear(one, () => true);
  for (const one of said) if (THE_REST.test(one.quote)) hear(one, (draft) => !told.has(draft));
  return drafts.map((draft) => {
    const group = grouped.get(draft);
    if (group !== undefined) return group;
    const [first, ...others] = told.get(draft) ?? [];
    if (first === undefined || others.some(({ players }) => players !== first.players)) return draft;
    return { ...draft, toldPlayers: first };
  });
}
