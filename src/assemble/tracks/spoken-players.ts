/**
 * How many play a part, said in passing: `six firsts, five seconds`, `flauta (una)`, `Palmas: tres personas`, `un guitarrista en cada guitarra`, `one
 * whistle` of a solo, `two trombones and a tuba on one track`.
 */
import { instrumentById } from '../../model/music/catalogue.ts';
import { UNKNOWN } from '../instruments/recognise.ts';
import type { NameReader } from '../names/source-track.ts';
import { comparableName } from '../names/text.ts';
import type { PartDraft } from './group-parts.ts';

type Counts = ReadonlyMap<PartDraft, number>;

const NOBODY: Counts = new Map<PartDraft, number>();

/** What is needed of the sentence's reader: names of parts, and number words. */
export interface Hearing {
  readonly drafts: readonly PartDraft[];
  readonly read: NameReader;
  readonly isMeant: (name: string, draft: PartDraft) => boolean;
  /** A pattern of number words, and what they say. */
  readonly words: string;
  readonly numberOf: (text: string) => number;
}

const START = String.raw`(?<![\p{L}\d])`;
const END = String.raw`(?![\p{L}\d])`;
export const PERSONS =
  'players?|people|persons?|musicians?|singers?|spieler(?:innen|in)?|personen|leute|musiker(?:innen|in)?|sänger(?:innen|in)?|musiciens?|personnes?|joueurs?|chanteu(?:rs?|ses?)|person[ae]|musicist[ai]|esecutor[ei]|cantanti|personas?|músicos?|cantantes?|pessoas?|cantores';
const SINGERS =
  'singers?|sänger(?:innen|in)?|chanteu(?:rs?|ses?)|cantanti|cantantes?|cantaor(?:es|as?)?|cantor(?:es|as?)?|vocalists?|vocalistas?';
const NO = /(?<![\p{L}])(?:not|no|without|nicht|kein(?:e[nrms]?)?|ohne|pas|sans|non|senza|sin|ni|não|sem)(?![\p{L}])/iu;
/** What may come but is not there. */
export const PERHAPS =
  /(?<![\p{L}])(?:would|could|maybe|perhaps|vielleicht|wäre|könnte|peut-être|serait|forse|sarebbe|quizás?|sería|talvez|seria)(?![\p{L}])/iu;

/** Violins by their places alone, as players call them. Common practice, no source. */
const FIRSTS = ['firsts', 'erste', 'ersten', 'premiers', 'primi', 'primeros', 'primeiros'];
const SECONDS = ['seconds', 'zweite', 'zweiten', 'secondi', 'segundos'];
/** 1 or 2 by such a word. */
export const BY_PLACE: ReadonlyMap<string, number> = new Map(
  [FIRSTS, SECONDS].flatMap((words, place) => words.map((word): [string, number] => [word, place + 1])),
);

/** The one number that a pattern with a single group finds in a sentence. */
function numberIn(sentence: string, pattern: string, numberOf: Hearing['numberOf']): number | undefined {
  const found = new RegExp(pattern, 'iu').exec(sentence)?.[1];
  return found === undefined ? undefined : numberOf(found);
}

/** `six firsts, five seconds, four violas`: where first and second stand together, each behind its number, they are the violins of a row of strings. */
function byPlace(sentence: string, { drafts, words, numberOf }: Hearing): Counts {
  const count = (places: readonly string[]): number | undefined =>
    numberIn(
      sentence,
      String.raw`${START}(\d{1,2}|${words})\s+(?:${places.join('|')})(?=\s*(?:$|[,;.&+)]|and\b|und\b|et\b|e\b|y\b))`,
      numberOf,
    );
  const sizes = [count(FIRSTS), count(SECONDS)];
  const desks = [1, 2].map((place) =>
    drafts.filter(
      ({ instrument, solo, numbers }) => instrument === 'violin' && !solo && numbers.join() === String(place),
    ),
  );
  if (sizes.includes(undefined) || desks.some(({ length }) => length !== 1)) return NOBODY;
  return new Map(desks.flatMap(([desk], at) => (desk === undefined ? [] : [[desk, sizes[at] ?? 1] as const])));
}

/** The parts that a name may mean, of its likeliest reading: a whistle is the pipe where there is one, not the drummer's. */
function partsCalled(name: string, { drafts, read, isMeant }: Hearing): readonly PartDraft[] {
  const meant = drafts.filter((draft) => isMeant(name, draft));
  const likeliest = read(name).candidates.find((id) => meant.some(({ instrument }) => instrument === id));
  return likeliest === undefined ? meant : meant.filter(({ instrument }) => instrument === likeliest);
}

/** The parts that the end of a phrase names, the longest name that is one; a part of exactly that name goes first. */
function namedAtEnd(phrase: string, hearing: Hearing): readonly PartDraft[] {
  const { drafts, read } = hearing;
  const words = phrase.trim().split(/\s+/).slice(-MOST_WORDS);
  for (let from = 0; from < words.length; from++) {
    const name = words.slice(from).join(' ');
    if (name.length < SHORTEST) break;
    const exact = drafts.filter((draft) => comparableName(draft.name) === comparableName(name));
    if (exact.length > 0) return exact;
    if (read(name).candidates.length === 0) continue;
    const meant = partsCalled(name, hearing);
    // The words of a stroke or a drum say which of them is meant: that is no other drum.
    if (meant.some(({ instrument }) => BY_SOUND.has(instrument))) return meant.filter((draft) => hasName(draft, name));
    if (meant.length > 0) return meant;
  }
  return [];
}
const MOST_WORDS = 5;
const SHORTEST = 3;
const BY_SOUND: ReadonlySet<string> = new Set(['percussion-unpitched', 'synthesizer', 'sound-effect']);

function hasName({ name }: PartDraft, called: string): boolean {
  return comparableName(name).split(' ').includes(comparableName(called));
}

/** `flauta (una)`, `cellos (2)`, `Pauken (ein Spieler, vier Kessel)`, `Palmas: tres personas`: a figure behind one player's name may be the part's own number. */
function behindName(sentence: string, hearing: Hearing): Counts {
  const { words, numberOf, read } = hearing;
  const told = new Map<PartDraft, number>();
  const pieces = new RegExp(
    String.raw`([^,;:.()]{${String(SHORTEST)},80}?)\s*(?:\(\s*(\d{1,2}|${words})(\s+(?:${PERSONS}))?\s*(?:\)|(?<=\s(?:${PERSONS})\s*),)|[:=]\s*(\d{1,2}|${words})(\s+(?:${PERSONS}))\s*(?=$|[,;.)]))`,
    'giu',
  );
  for (const [, phrase = '', inside, insidePeople, behind, behindPeople] of sentence.matchAll(pieces)) {
    const count = inside ?? behind ?? '';
    const phraseOf = phrase.split(/\s(?:and|und|et|ed?|y)\s/iu).at(-1) ?? phrase;
    const isFigure = /^\d/.test(count) && (insidePeople ?? behindPeople) === undefined;
    if (isFigure && !read(phraseOf.trim().split(/\s+/).at(-1) ?? '').plural) continue;
    const meant = namedAtEnd(phraseOf, hearing);
    const each = numberOf(count) / meant.length;
    if (meant.length > 0 && Number.isInteger(each)) for (const draft of meant) told.set(draft, each);
  }
  return told;
}

/** `un guitarrista en cada guitarra`, `one guitarist on each guitar`, `ein Gitarrist an jeder Gitarre`. */
const ON_EACH = new RegExp(
  String.raw`${START}(?:one|an?|ein(?:e|en)?|une?|uno|una|um|uma)\s+[\p{L}-]+\s+(?:(?:on|to|at|for|an|zu|auf|pro|je|sur|à|pour|su|a|per|en|por|em|para)\s+)?(?:each|every|jede[rsmn]?|chaque|ogni|ciascun[oa]?|cada)\s+([\p{L}][\p{L}-]*)`,
  'iu',
);

function onEach(sentence: string, hearing: Hearing): Counts {
  const name = ON_EACH.exec(sentence)?.[1] ?? '';
  if (hearing.read(name).candidates.length === 0) return NOBODY;
  return new Map(partsCalled(name, hearing).map((draft) => [draft, 1]));
}

/** `one singer`, `un cantaor`, `zwei Sängerinnen`: of the only part that is sung by no choir. */
function sungBy(sentence: string, { drafts, words, numberOf }: Hearing): Counts {
  const players = numberIn(
    sentence,
    String.raw`${START}(${words})\s+(?:(?:single|seule?|einzige[rn]?|sol[ao]|únic[oa]|unic[oa])\s+)?(?:${SINGERS})${END}`,
    numberOf,
  );
  const sung = drafts.filter(({ instrument }) => instrumentById(instrument)?.family === 'voice');
  const [only] = sung;
  if (players === undefined || only === undefined || sung.length !== 1 || only.instrument === 'choir') return NOBODY;
  return new Map([[only, players]]);
}

/** `One whistle`, `one horn only`: of a solo too, as its own name says no other number. */
function soloCounted(sentence: string, hearing: Hearing): Counts {
  const { words, numberOf } = hearing;
  const told = new Map<PartDraft, number>();
  const counted = new RegExp(
    String.raw`(?:^|[,;:(]\s*|\s(?:and|und|et|ed?|y)\s+)(${words})\s+([\p{L}][\p{L}-]+)`,
    'giu',
  );
  for (const [, count = '', name = ''] of sentence.matchAll(counted)) {
    if (numberOf(count) !== 1) continue;
    const meant = partsCalled(name, hearing);
    const [only] = meant;
    if (meant.length === 1 && only?.solo === true) told.set(only, 1);
  }
  return told;
}

/** What a sentence says in passing of how many play which part; nothing from what is denied or wished for. */
export function spokenPlayers(sentence: string, hearing: Hearing): Counts {
  if (NO.test(sentence.replaceAll(/\([^)]*\)/g, ' ')) || PERHAPS.test(sentence)) return NOBODY;
  return new Map([
    ...sungBy(sentence, hearing),
    ...onEach(sentence, hearing),
    ...soloCounted(sentence, hearing),
    ...behindName(sentence, hearing),
    ...byPlace(sentence, hearing),
  ]);
}

/** Players of a track that is named after a whole group: catalogue ids with how many play each. */
type ToldMembers = readonly { readonly instrument: string; readonly players: number }[];

const ARE = String.raw`\s*(?:[:=]|\s(?:is|are|ist|sind|est|sont|è|sono|es|son|é|são)\s)\s*`;

/**
 * What a sentence says stands behind a track that is named after a group, as `the low brass is two trombones and a tuba on one track`: its players by
 * instrument; undefined where it says nothing of it, or names what is no part of the group.
 */
export function toldMembers(
  sentence: string,
  draft: PartDraft,
  { read, words, numberOf }: Pick<Hearing, 'read' | 'words' | 'numberOf'>,
): ToldMembers | undefined {
  const name = comparableName(draft.name);
  const isGroup =
    draft.instrument === UNKNOWN && draft.tracks.some(({ source }) => source.reading.section !== undefined);
  if (!isGroup || PERHAPS.test(sentence) || sentence.endsWith('?')) return undefined;
  const [before, behind] = splitAt(sentence, new RegExp(ARE, 'giu'), (start) => comparableName(start).endsWith(name));
  if (before === undefined || behind === undefined) return undefined;
  const members = [
    ...behind.matchAll(
      new RegExp(String.raw`${START}(an?|\d{1,2}|${words})\s+([\p{L}][\p{L}-]*(?:\s+[\p{L}-]+)?)`, 'giu'),
    ),
  ].flatMap(([, count = '', phrase = '']) => {
    const both = read(phrase);
    const own = both.candidates.length > 0 && both.rest === '' ? both : read(phrase.split(/\s+/)[0] ?? '');
    const instrument = own.candidates[0];
    const players = /^an?$/iu.test(count) ? 1 : numberOf(count);
    return instrument === undefined || (players > 1 && !own.plural) ? [] : [{ instrument, players }];
  });
  return members.length > 0 ? members : undefined;
}

/** A sentence before and after the first sign at which what stands before it is as wanted. */
function splitAt(
  sentence: string,
  sign: RegExp,
  isWanted: (start: string) => boolean,
): readonly [string | undefined, string | undefined] {
  for (const match of sentence.matchAll(sign)) {
    const start = sentence.slice(0, match.index);
    if (isWanted(start)) return [start, sentence.slice(match.index + match[0].length)];
  }
  return [undefined, undefined];
}

/** The draft of a group with the players that are told of it: the instrument of its program where that is among them, else of most of them. */
export function asMembers(draft: PartDraft, members: ToldMembers): PartDraft {
  const program = draft.tracks[0]?.source.raw.program ?? -1;
  const sounded = members.find(({ instrument }) => instrumentById(instrument)?.gmPrograms.includes(program) === true);
  const most = [...members].sort((a, b) => b.players - a.players)[0];
  return {
    ...draft,
    instrument: (sounded ?? most)?.instrument ?? draft.instrument,
    by: 'note',
    members: members.map(({ instrument }) => instrument),
    questions: draft.questions.filter(({ code }) => code !== 'section-patch'),
  };
}
