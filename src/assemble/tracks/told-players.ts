/** How many play a part, where a note says so: `Strings are 4-3-2-2`, `etwa 25 im Chor`, `4 Blockflöten je Stimme`. */
import { instrumentById } from '../../model/music/catalogue.ts';
import type { RawMemo } from '../../read/raw.ts';
import type { NameReader } from '../names/source-track.ts';
import { comparableName } from '../names/text.ts';
import { sentencesOf } from '../user-notes-and-settings/told-tracks.ts';
import type { PartDraft } from './group-parts.ts';

const PEOPLE =
  'children|kids|singers|players|people|kinder|sänger(?:innen)?|spieler|leute|stimmen|enfants|chanteurs|bambini|coristi|niños|cantores';
/** What may stand before a number of people; after other words it may be a bar, a beat or an hour. */
const BEFORE = String.raw`(?:^|[,;(]\s*|\b(?:about|around|circa|ca\.?|etwa|ungefähr|rund|are|is|sind|have|haben|only|nur|with|mit|environ|sont|sono|son)\s+)`;
const WORD = String.raw`([\p{L}][\p{L}.-]*)`;
const IN_CHOIR = new RegExp(
  String.raw`${BEFORE}(\d{1,3})\s+(?:(?:${PEOPLE})\s+)?(?:im|in der|in the|in|dans le|nel|en el|no)\s+${WORD}`,
  'iu',
);
const TO_A_PART = new RegExp(
  String.raw`(\d{1,2})\s+${WORD}\s+(?:(?:je|pro)\s+(?:stimme|part)|(?:per|to a|to each|on each|a)\s+part|par\s+(?:partie|voix)|per\s+(?:parte|voce)|por\s+(?:voz|parte))(?![\p{L}])`,
  'iu',
);
const BY_TWOS = new RegExp(String.raw`${WORD}\s+zu\s+(zweit|dritt|viert|fünft|sechst)(?![\p{L}])`, 'iu');
const TWOS = ['zweit', 'dritt', 'viert', 'fünft', 'sechst'];
const ONE_EACH = new RegExp(
  String.raw`(?<![\p{L}])(?:ein|one|une?|uno|una)\s+(?:kind|spieler|player|child|kid|enfant|joueur|bambino|niño)\s+(?:je|pro|per|on each|to each|par|a)\s+${WORD}`,
  'iu',
);
/** Strings are counted from the first violins down (common practice, no source). */
const DESKS =
  /(?:strings?(?: section)?|streicher\w*|archi|cordes|cuerdas|cordas|strijkers|stråkar|strygere?)(?![\p{L}])[^.\d]{0,20}?(\d{1,2}(?:\s*[-–/+,]\s*\d{1,2}){3,4})(?![-–/.,\d]*\d)/iu;

type ToldPlayers = NonNullable<PartDraft['toldPlayers']>;

/** Families of sizes that one plain word means: recorders, and the bars of the schoolroom. */
const SIZES = /^(?:recorder|xylophone|metallophone|glockenspiel)(?=-|$)/;
/** A size in the word means that size alone. */
const SIZED = /sopran|soprano|descant|treble|alto?\b|alt|tenor|bass|contralto|\b[satb]\b/;

function isMeant(word: string, draft: PartDraft, read: NameReader): boolean {
  if (comparableName(word) === comparableName(draft.name)) return true;
  const { candidates, rest, matched, numbers } = read(word);
  if (candidates.length === 0 || rest !== '' || numbers.length > 0) return false;
  const family = SIZES.exec(candidates[0] ?? '')?.[0];
  if (family !== undefined && !SIZED.test(matched)) return SIZES.exec(draft.instrument)?.[0] === family;
  return candidates.includes(draft.instrument);
}

function stringSizes(sizes: readonly number[], drafts: readonly PartDraft[]): ReadonlyMap<PartDraft, number> {
  const of = (instrument: string, number?: number): PartDraft | undefined => {
    const own = drafts.filter((draft) => draft.instrument === instrument && !draft.solo);
    const fit = number === undefined ? own : own.filter(({ numbers }) => numbers.join() === String(number));
    return fit.length === 1 ? fit[0] : undefined;
  };
  const desks = [of('violin', 1), of('violin', 2), of('viola'), of('cello'), of('double-bass')].slice(0, sizes.length);
  const told = new Map<PartDraft, number>();
  // Where a desk is missing the numbers may be of others.
  if (desks.some((desk) => desk === undefined)) return told;
  desks.forEach((desk, place) => {
    if (desk !== undefined) told.set(desk, sizes[place] ?? 1);
  });
  return told;
}

/** What one sentence says of each part, in a stage with these. */
function playersIn(sentence: string, drafts: readonly PartDraft[], read: NameReader): ReadonlyMap<PartDraft, number> {
  const told = new Map<PartDraft, number>();
  const say = (word: string | undefined, players: number, isOfEach: boolean): void => {
    const meant = drafts.filter((draft) => isMeant((word ?? '').replace(/[.]$/, ''), draft, read));
    if (players >= 1 && (meant.length === 1 || isOfEach)) for (const draft of meant) told.set(draft, players);
  };
  const sizes = DESKS.exec(sentence)?.[1]?.split(/\D+/).map(Number);
  if (sizes !== undefined) for (const [draft, players] of stringSizes(sizes, drafts)) told.set(draft, players);
  const inChoir = IN_CHOIR.exec(sentence);
  if (inChoir !== null) {
    const choirs = drafts.filter(({ instrument }) => instrumentById(instrument)?.family === 'voice');
    const meant = choirs.filter((draft) => isMeant(inChoir[2] ?? '', draft, read));
    if (meant.length === 1 && meant[0] !== undefined) told.set(meant[0], Number(inChoir[1]));
  }
  const toAPart = TO_A_PART.exec(sentence);
  if (toAPart !== null) say(toAPart[2], Number(toAPart[1]), true);
  const byTwos = BY_TWOS.exec(sentence);
  if (byTwos !== null) say(byTwos[1], 2 + TWOS.indexOf((byTwos[2] ?? '').toLowerCase()), false);
  const oneEach = ONE_EACH.exec(sentence);
  if (oneEach !== null) say(oneEach[1], 1, true);
  return told;
}

/** The parts with what the notes say of their players; where two sentences differ about a part, neither counts. A question says nothing. */
export function withToldPlayers(
  drafts: readonly PartDraft[],
  memos: readonly RawMemo[],
  read: NameReader,
): readonly PartDraft[] {
  const told = new Map<PartDraft, ToldPlayers[]>();
  for (const memo of memos) {
    for (const quote of sentencesOf(memo)) {
      if (quote.endsWith('?')) continue;
      for (const [draft, players] of playersIn(quote, drafts, read))
        told.set(draft, [...(told.get(draft) ?? []), { players, file: memo.file, quote }]);
    }
  }
  return drafts.map((draft) => {
    const [first, ...others] = told.get(draft) ?? [];
    if (first === undefined || others.some(({ players }) => players !== first.players)) return draft;
    return { ...draft, toldPlayers: first };
  });
}
