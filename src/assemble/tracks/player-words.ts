/**
 * How many play a part, said of the people: `two guitarists`, `deux aux premiers violons`, `everyone else is on their own`, and `One player.` behind the
 * sentence that names the part.
 */
import { foldText } from '../names/text.ts';
import type { PartDraft } from './group-parts.ts';
import type { Hearing } from './spoken-players.ts';
import { BY_PLACE, PERHAPS, PERSONS } from './spoken-players.ts';

type Counts = ReadonlyMap<PartDraft, number>;

const NOBODY: Counts = new Map<PartDraft, number>();

/** Folded words for those who play an instrument, one or many, in the languages that are read. Common practice, no source. */
const PLAYERS: readonly (readonly [RegExp, readonly string[]])[] = (
  [
    ['gui?tarr?ist|gitarr?ist|chitarrist', ['guitar']],
    ['bassist|baixist|bajist', ['bass-guitar', 'double-bass']],
    ['[kc]ontrabass?ist|contrebassist|contrabbassist|contrabajist|contrabaixist', ['double-bass']],
    ['violinist|geiger|violonist|fiddler', ['violin']],
    ['bratscher|bratschist|altist|violist', ['viola']],
    ['(?:violon)?cellist|violoncelist|violonchelist|chelist', ['cello']],
    ['flautist|flutist|flotist', ['flute']],
    ['oboist|hautboist', ['oboe']],
    ['[ck]larin?ett?ist', ['clarinet-bflat', 'clarinet-a']],
    ['bassoonist|fagott?ist|bassonist', ['bassoon']],
    ['hornist|cornist|trompist', ['horn-f']],
    ['trumpeter|trompeter|trompett?ist|trombettist|trumpet player', ['trumpet-bflat', 'trumpet-c']],
    ['trombonist|posaunist', ['trombone-tenor', 'trombone-bass']],
    ['pianist', ['piano']],
    ['organist', ['organ']],
    ['harpist|harfenist|arpist', ['harp']],
    ['harpsichordist|cembalist|clavecinist|clavicembalist', ['harpsichord']],
    ['lutenist|lautenist|luthist|liutist|laudist', ['lute', 'theorbo', 'archlute']],
    ['ac?cordionist|a[kc]kordeonist|accordeonist|fisarmonicist|acordeonist', ['accordion']],
  ] as const
).map(([stem, ids]) => [new RegExp(`^(?:${stem})(?:es|en|in|innen|as?|[eios])?$`, 'u'), ids]);

const NOT = /(?<![\p{L}])(?:not|without|nicht|kein(?:e[nrms]?)?|ohne|pas|sans|non|senza|sin|ni|não|sem)(?![\p{L}])/iu;
const START = String.raw`(?<![\p{L}\d])`;
/** Words that only stress the number. */
const ALONE = String.raw`(?:(?:single|lone|only|einzige[nrs]?|einzelne[nrs]?|seule?|sola?|solo|sól?o|únic[oa]|unic[oa]|só)\s+)?`;

/** `two guitarists`, `zwei Trompeter`: shared alike among the parts of the instrument, also a solo of one player. */
function byTrade(sentence: string, { drafts, words, numberOf }: Hearing): Counts {
  const told = new Map<PartDraft, number>();
  const pattern = new RegExp(String.raw`${START}([1-9]\d?|an?|${words})\s+${ALONE}([\p{L}]{5,})`, 'giu');
  for (const [, count = '', word = ''] of sentence.matchAll(pattern)) {
    const ids = PLAYERS.filter(([trade]) => trade.test(foldText(word))).flatMap(([, own]) => own);
    const meant = drafts.filter(({ instrument }) => ids.includes(instrument));
    const kinds = new Set(meant.map(({ instrument }) => instrument));
    const each = (/^an?$/iu.test(count) ? 1 : numberOf(count)) / meant.length;
    if (kinds.size === 1 && Number.isInteger(each) && each > 0) for (const draft of meant) told.set(draft, each);
  }
  return told;
}

/** Where a count of people begins, after which `on` and `aux` are no beat and no direction. */
const OPENS =
  /(?:^|(?:^|\s)(?:are|sind|have|haben|sommes|est|somos|siamo|sont|sono|son|seremos|saremo|serons))\s*(?:only|nur|solo|sólo|apenas|seulement|just)?\s*$/iu;
/** What may stand between two counts of a row. */
const NEXT = /(?:[,;]\s*|\s(?:and|und|et|ed?|y)\s+)$/iu;
const AT =
  "(?:on|at|in|an|bei|auf|aux?|à|en|ai|agli|al|alle|alla|all['’]|a|nei|nos?|nas?|em)(?:\\s+(?:the|der|den|dem|la|le|les|los|las|el|os|as|o|l['’]))?";
const OF_US = "(?:of us|of them|von uns|d['’]entre nous|de nosotros|di noi|de nós)";

/** The longest name at the beginning of a phrase; behind violins they may be called by their place alone. */
function partAt(phrase: string, areViolins: boolean, read: Hearing['read']): string | undefined {
  const words = phrase.split(/\s+/);
  const place = areViolins ? BY_PLACE.get(foldText(words[0] ?? '').replace(/\W+$/, '')) : undefined;
  if (place !== undefined) return `violin ${String(place)}`;
  const names = words.map((_, at) => words.slice(0, words.length - at).join(' '));
  return names.find((name) => read(name).candidates.length > 0 && read(name).rest === '');
}

/** `two on first violin`, `zwei an den ersten Geigen`, `deux aux premiers violons, un seul aux seconds`. */
function atParts(sentence: string, hearing: Hearing): Counts {
  const { drafts, words, numberOf, read, isMeant } = hearing;
  const told = new Map<PartDraft, number>();
  let areViolins = false;
  const pattern = new RegExp(
    String.raw`${START}([1-9]\d?|${words})\s+(?:(?:${PERSONS}|${OF_US}|allein|alone|seule?s?|sol[oaie]s?|só)\s+)?${AT}\s*([\p{L}][\p{L}.-]*(?:\s+(?!(?:and|und|et|ed?|y)\s)[\p{L}][\p{L}.-]*){0,2})`,
    'giu',
  );
  for (const { index, 1: count = '', 2: phrase = '' } of sentence.matchAll(pattern)) {
    const ahead = sentence.slice(0, index);
    if (!OPENS.test(ahead) && !(told.size > 0 && NEXT.test(ahead))) continue;
    const name = partAt(phrase, areViolins, read);
    if (name === undefined) continue;
    areViolins = read(name).candidates.includes('violin');
    const meant = drafts.filter((draft) => !draft.solo && isMeant(name, draft));
    const each = numberOf(count) / meant.length;
    if (meant.length > 0 && Number.isInteger(each)) for (const draft of meant) told.set(draft, each);
  }
  return told;
}

/** A sentence that is a count and nothing else. */
const LONE = String.raw`^(?:(?:only|just|nur|seulement|solo|sólo|só|apenas)\s+)?([1-9]\d?|WORDS)\s+${ALONE}(?:${PERSONS})(?:\s+(?:only|nur|seulement|allein))?[.!]?$`;

/** `Trombone joined! One player.`: of the one part that the sentence before it names. */
function behindSentence(sentence: string, before: string, { drafts, words, numberOf, read, isMeant }: Hearing): Counts {
  const count = new RegExp(LONE.replace('WORDS', words), 'iu').exec(sentence)?.[1];
  if (count === undefined || before.endsWith('?')) return NOBODY;
  const names = (before.match(/[\p{L}][\p{L}.-]{2,}/gu) ?? []).filter((word) => read(word).candidates.length > 0);
  const meant = new Set(names.flatMap((name) => drafts.filter((draft) => isMeant(name, draft))));
  const [only] = meant;
  return meant.size === 1 && only !== undefined ? new Map([[only, numberOf(count)]]) : NOBODY;
}

/** What a sentence says of the people who play, `before` being the one in front of it; nothing from what is wished for. */
export function playersByPeople(sentence: string, before: string, hearing: Hearing): Counts {
  if (PERHAPS.test(sentence) || NOT.test(sentence)) return NOBODY;
  return new Map([
    ...behindSentence(sentence, before, hearing),
    ...atParts(sentence, hearing),
    ...byTrade(sentence, hearing),
  ]);
}
