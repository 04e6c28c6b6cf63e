/** What notes say of who leads, sentence by sentence: `Takte 9-16 singt der Tenor`, `melody in the flute from bar 9`, `Solo: Klarinette 9-16`. */
import type { Part } from '../../model/music/arrangement.ts';
import type { RawMemo } from '../../read/raw.ts';
import { BAR_SPAN_PATTERN } from '../../read/settings/bar-span.ts';
import { ARTICULATION_WORDS, MIX_WORDS } from '../names/name-words.ts';
import { comparableName, foldText } from '../names/text.ts';
import type { NameReader } from '../names/source-track.ts';
import { BARS, takeBars } from './bars-in-words.ts';
import type { SaidBars } from './bars-in-words.ts';
import {
  COMES_IN,
  IS_ABOVE,
  IS_LOUDER,
  IS_SOFTER,
  LEAD_OF_HEADING,
  LEAD_PATTERNS,
  OF_A_PLACE,
  SAYS_NOTHING,
  SAYS_NOTHING_OF_NOW,
  SOLO_RETURNS,
} from './lead-words.ts';
import { partsMeant } from './part-words.ts';
import { sentencesOf } from './told-tracks.ts';

/** A statement of a note about who leads. */
export interface LeadSaid {
  /** Parts that its words may mean, at least one. */
  readonly partIds: readonly string[];
  /** In these bars; empty for a whole stage. */
  readonly bars: readonly SaidBars[];
  readonly file: string;
  /** The sentence, untrusted text. */
  readonly quote: string;
}

/** A name has no more words. */
const MOST_NAME_WORDS = 4;
/** Words of a name: letters, figures and signs. */
const WORD = /[\p{L}\p{M}\p{N}#♭♯]+/gu;
/** What may stand between the words of a name. */
const WITHIN_NAME = /^(?:\.? ?|-)$/u;
/** Words that begin or end no name, unless a part is called just so. */
const NO_NAMES =
  /^(?:lead|solo|melod\p{L}*|tune|them[ae]|tema|canto|chant|a|à|i|o|e|y|c|p|f|la|le|da|do|in|no|na|§)$/iu;
/** Words that tell nothing in a track's name, and something in a sentence. */
const SENTENCE_WORDS: ReadonlySet<string> = new Set([...MIX_WORDS, ...ARTICULATION_WORDS]);
/** Who sings alone is none of it. */
const CHOIR = /^(?:choir|chorus|ch(?:o|oe|œ)u?r|coro|koor|voices|stimmen)$/iu;
/** Names joined by it are said together; a comma may begin another thing. */
const AND =
  /^\s*(?:and|und|et|e|y|&|\+|\/)\s*(?:(?:the|die|der|das|les|los|las|le|la|el|il|i|gli|o|os|as|l['’])\s*)?$/iu;

/** Behind the second of two names it begins a clause of its own: the voice sings and the guitar accompanies. */
const OWN_VERB =
  /^\s*(?:begleite|accompan|accompagn|acompa[nñ]|spiel[te]|pausier|schweig|plays?(?!\p{L})|rests?(?!\p{L})|jou[ea]|se tai|toca|calla|suona|tace)/iu;

interface Named {
  readonly text: string;
  readonly groups: readonly (readonly string[])[];
}

/** The sentence with `¤1¤` for each part or run of parts that it names. */
function takeParts(text: string, parts: readonly Part[], read: NameReader): Named {
  const words = [...text.matchAll(WORD)].map((match) => ({ start: match.index, end: match.index + match[0].length }));
  const exact = new Set(
    parts.flatMap((part) => [part.name, ...part.tracks.map((track) => track.name)]).map(comparableName),
  );
  const groups: string[][] = [];
  let made = '';
  let done = 0;
  for (let place = 0; place < words.length;) {
    const start = words[place]?.start ?? 0;
    let found: { readonly next: number; readonly end: number; readonly ids: readonly string[] } | undefined;
    for (let size = MOST_NAME_WORDS; size > 0 && found === undefined; size--) {
      const end = words[place + size - 1]?.end;
      if (end === undefined) continue;
      const gaps = words
        .slice(place, place + size - 1)
        .map((word, index) => text.slice(word.end, words[place + index + 1]?.start));
      const name = text.slice(start, end);
      const own = words.slice(place, place + size).map((word) => foldText(text.slice(word.start, word.end)));
      const isPlain =
        ![own[0] ?? '', own.at(-1) ?? ''].some((word) => NO_NAMES.test(word)) &&
        !own.some((word) => SENTENCE_WORDS.has(word));
      if (!isPlain && !exact.has(comparableName(name))) continue;
      if (!gaps.every((gap) => WITHIN_NAME.test(gap)) || /^\d+$/.test(name)) continue;
      const meant = partsMeant(name, parts, read);
      const ids = (CHOIR.test(name) ? meant.filter((part) => !read(part.name).solo) : meant).map(({ id }) => id);
      if (ids.length > 0) found = { next: place + size, end, ids };
    }
    if (found === undefined) {
      place++;
      continue;
    }
    const between = text.slice(done, start);
    const isJoined = AND.test(between) && !OWN_VERB.test(text.slice(found.end));
    if (groups.length > 0 && made.endsWith('¤ ') && isJoined) groups.at(-1)?.push(...found.ids);
    else {
      groups.push([...found.ids]);
      made += `${between} ¤${String(groups.length)}¤ `;
    }
    // The full stop of an abbreviation belongs to it, that of a sentence does not matter.
    done = text[found.end] === '.' ? found.end + 1 : found.end;
    place = found.next;
  }
  return { text: made + text.slice(done), groups: groups.map((ids) => [...new Set(ids)]) };
}

/** Headings within a note that is of no bars: what stands under them is said of what they name. */
interface Block {
  readonly heading: string;
  readonly isSub: boolean;
  readonly markdown: string;
}

function blocksOf({ heading, markdown }: RawMemo): readonly Block[] {
  const [first = '', ...others] = markdown.split(/^#{1,6}[ \t]+/m);
  return [
    { heading, isSub: false, markdown: first },
    ...others.map((block) => {
      const [title = '', ...lines] = block.split('\n');
      return { heading: title.trim(), isSub: true, markdown: lines.join('\n') };
    }),
  ];
}

/** An article and a number: the noun is still to come. */
const ORDINAL = /(?<!\p{L})(?:d(?:ie|er|as|em|en)|eine[rmn]?|zur|zum|im|beim|vom|am) \d\.$/iu;

/** Sentences, joined again where one was cut behind an abbreviation or an ordinal: `Vln. II`, `ab T. 9`, `die 1. Trompete`. */
function wholeSentences(pieces: readonly string[]): readonly string[] {
  const whole: string[] = [];
  for (const piece of pieces) {
    const last = whole.at(-1);
    if (last !== undefined && ORDINAL.test(last)) whole[whole.length - 1] = `${last} ${piece}`;
    else if (
      last !== undefined &&
      /(?<!\p{L})\p{L}{1,5}\.$/u.test(last) &&
      /^(?:\d|\p{Ll}|[IV]+(?!\p{L}))/u.test(piece)
    )
      whole[whole.length - 1] = `${last} ${piece}`;
    else whole.push(piece);
  }
  return whole;
}

/** Clauses of a sentence that is folded and without its parts and bars. */
function clausesOf(text: string): readonly string[] {
  return text
    .replaceAll(/\(\s*§\s*\)/g, '§')
    .split(
      /[,;.()[\]]|\s[-–—]\s|\b(?:while|whereas|wahrend|tandis que|mientras|mentre|enquanto|but|aber|mais|pero|ma|mas|and|und|et|y|e)\b/u,
    )
    .map((clause) =>
      clause
        .replaceAll(/[“”„"«»*_`]/g, ' ')
        .replaceAll(/([:=–—-])(?=\s|$)/g, ' $1 ')
        .replaceAll(/\s+/g, ' ')
        .trim(),
    )
    .filter((clause) => clause !== '');
}

/** Only bars and a part, as a list goes on: 17-24 der Sopran. */
const GOES_ON =
  /^(?:(?:in |en |au )?§ (?:(?:the|der|die|das|le|la|les|el|los|il|o|a) )?¤(\d+)¤|(?:the |der |die |das )?¤(\d+)¤ §)$/u;

interface Setting {
  readonly parts: readonly Part[];
  readonly read: NameReader;
  /** The one part that is called a solo. */
  readonly soloId: string | undefined;
  /** Bars of named sections, by folded name. */
  readonly sections: ReadonlyMap<string, SaidBars>;
}

/** Bars of the section that is named in a text, where one is. */
function sectionIn(text: string, sections: Setting['sections']): readonly SaidBars[] {
  const found = [...sections].filter(([name]) =>
    new RegExp(`(?<![\\p{L}\\p{N}])${name}(?![\\p{L}\\p{N}])`, 'u').test(text),
  );
  return found.length === 1 ? found.map(([, bars]) => bars) : [];
}

/** What stands over a sentence. */
interface Around {
  readonly bars: readonly SaidBars[];
  readonly partIds: readonly string[];
  /** It may be said of a whole stage. */
  readonly isOpen: boolean;
}

interface ClauseLead {
  readonly partIds: readonly string[];
  readonly isOfAll: boolean;
  /** From the first bar on: who is back at a bar goes on from there. */
  readonly isOnward: boolean;
}

/** Who leads by a clause; undefined where it says nothing of it. `listed`: it may go on with a list. */
function leadOf(
  clause: string,
  groups: Named['groups'],
  listed: boolean,
  around: Around,
  setting: Setting,
): ClauseLead | undefined {
  if (SAYS_NOTHING.test(clause)) return undefined;
  const inList = listed
    ? GOES_ON.exec(clause)
        ?.slice(1)
        .find((group) => Boolean(group))
    : undefined;
  const group = (place: string | undefined): readonly string[] => groups[Number(place) - 1] ?? [];
  if (inList !== undefined) return { partIds: group(inList), isOfAll: false, isOnward: false };
  for (const { pattern, isOfAll } of LEAD_PATTERNS) {
    const found = pattern.exec(clause);
    if (found !== null) return { partIds: group(found.at(-1)), isOfAll, isOnward: false };
  }
  if (clause.includes('¤')) return undefined;
  const ofHeading =
    around.partIds.length === 0 ? undefined : LEAD_OF_HEADING.find(({ pattern }) => pattern.test(clause));
  if (ofHeading !== undefined) return { partIds: around.partIds, isOfAll: ofHeading.isOfAll, isOnward: false };
  const { soloId } = setting;
  return soloId !== undefined && SOLO_RETURNS.test(clause)
    ? { partIds: [soloId], isOfAll: false, isOnward: true }
    : undefined;
}

/** Of whom a clause has such a word; undefined where it has none. */
function saidWith(
  word: RegExp,
  clause: string,
  groups: Named['groups'],
  { partIds }: Around,
): readonly string[] | undefined {
  if (SAYS_NOTHING_OF_NOW.test(clause) || !word.test(clause)) return undefined;
  const named = [...clause.matchAll(/¤(\d+)¤/g)].map(([, place]) => groups[Number(place) - 1] ?? []);
  return named.length === 0 ? partIds : named.length === 1 ? (named[0] ?? []) : [];
}

/** Who is above the tune by a clause; undefined where it says nothing of it. */
function aboveOf(clause: string, groups: Named['groups'], _listed: boolean, around: Around): ClauseLead | undefined {
  const partIds = saidWith(IS_ABOVE, clause, groups, around);
  return partIds === undefined ? undefined : { partIds, isOfAll: true, isOnward: COMES_IN.test(clause) };
}

/** What is compared with what was says how it is now. */
const THAN_BEFORE =
  / (?:than before|als (?:vorher|zuvor|bisher|fruher)|qu['’]avant|que antes|di prima|do que antes)(?!\p{L})/gu;

/** Who is softer, or louder, by a clause. */
const levelBy =
  (word: RegExp): typeof leadOf =>
  (clause, groups, _listed, around) => {
    const partIds = saidWith(word, clause.replaceAll(THAN_BEFORE, ''), groups, around);
    return partIds === undefined ? undefined : { partIds, isOfAll: false, isOnward: false };
  };

const LEVELS = { softer: levelBy(IS_SOFTER), louder: levelBy(IS_LOUDER) } as const;

/** One bar and what follows it, to the end of the bars that stand over the sentence where it is one of them. */
function onwardFrom(bars: readonly SaidBars[], around: readonly SaidBars[]): readonly SaidBars[] {
  const [{ from, to } = {}, other] = bars;
  if (from === undefined || from !== to || other !== undefined) return bars;
  const over = around.find(({ from: first = 0, to: last = 0 }) => first <= from && from <= last);
  return [over?.to === undefined || over.from === over.to ? { from } : { from, to: over.to }];
}

/** What a sentence says, clause by clause. */
function saidIn(
  sentence: string,
  around: Around,
  setting: Setting,
  saidBy: typeof leadOf,
): readonly Omit<LeadSaid, 'file' | 'quote'>[] {
  if (/[?¿]/.test(sentence)) return [];
  const bars = takeBars(sentence.normalize('NFC').replaceAll(/[§¤]/g, ' '));
  const named = takeParts(bars.text, setting.parts, setting.read);
  const said: Omit<LeadSaid, 'file' | 'quote'>[] = [];
  let taken = 0;
  let before: readonly SaidBars[] = [];
  let goesOn = false;
  for (const clause of clausesOf(foldText(named.text))) {
    const marks = clause.split(BARS).length - 1;
    const own = bars.bars.slice(taken, taken + marks).flat();
    taken += marks;
    if (own.length > 0) before = own;
    const lead = saidBy(clause, named.groups, goesOn, around, setting);
    goesOn = lead !== undefined;
    if (lead === undefined || lead.partIds.length === 0) continue;
    const inSection = before.length > 0 ? [] : sectionIn(clause, setting.sections);
    const there = before.length > 0 ? before : inSection.length > 0 ? inSection : around.bars;
    const isOfAll = around.isOpen && bars.bars.length === 0 && lead.isOfAll && !OF_A_PLACE.test(clause);
    if (there.length === 0 && !isOfAll) continue;
    said.push({ partIds: lead.partIds, bars: lead.isOnward ? onwardFrom(there, around.bars) : there });
  }
  return said;
}

/** The stage that a note is heard about. */
export interface HeardAbout {
  readonly parts: readonly Part[];
  /** Those that have names. */
  readonly sections: readonly { readonly name: string; readonly from: number; readonly to: number }[];
  /** The one part that is called a solo. */
  readonly soloId?: string | undefined;
  readonly read: NameReader;
}

function saidOf(
  memo: RawMemo,
  { parts, sections, soloId, read }: HeardAbout,
  saidBy: typeof leadOf,
): readonly LeadSaid[] {
  if (memo.kind === 'question' || memo.answer !== undefined) return [];
  const named = sections.flatMap(({ name, from, to }): [string, SaidBars][] =>
    /^[\p{L}\p{N} ]{4,}$/u.test(name) && !BAR_SPAN_PATTERN.test(name) ? [[foldText(name), { from, to }]] : [],
  );
  const setting: Setting = { parts, read, soloId, sections: new Map(named) };
  const ofMemo = memo.bars === undefined ? [] : [memo.bars.content];
  const ofFront = memo.parts.map(({ content }) => partsMeant(content, parts, read).map(({ id }) => id));
  return blocksOf(memo).flatMap(({ heading, isSub, markdown }) => {
    const inHeading = takeBars(heading);
    const ofHeading = inHeading.bars.flat();
    const bySection = ofHeading.length > 0 ? [] : sectionIn(foldText(heading), setting.sections);
    const { groups } = takeParts(inHeading.text, parts, read);
    const single = groups.length === 1 ? (groups[0] ?? []) : !isSub && ofFront.length === 1 ? (ofFront[0] ?? []) : [];
    const inTitle = [...ofHeading, ...bySection];
    const bars = ofMemo.length > 0 && (!isSub || inTitle.length === 0) ? ofMemo : inTitle;
    const around = { bars, partIds: single, isOpen: !isSub && bars.length === 0 };
    return wholeSentences(sentencesOf({ heading, markdown })).flatMap((quote) =>
      saidIn(quote, around, setting, saidBy).map((own) => ({ ...own, file: memo.file, quote })),
    );
  });
}

/** What a note says of who leads among parts, in its order. Questions, wishes and what is negated or past say nothing. */
export function leadsSaid(memo: RawMemo, about: HeardAbout): readonly LeadSaid[] {
  return saidOf(memo, about, leadOf);
}

/** What a note says of parts that have a line above the tune, or one of their own against it. */
export function linesAboveSaid(memo: RawMemo, about: HeardAbout): readonly LeadSaid[] {
  return saidOf(memo, about, aboveOf);
}

/** What a note says of parts that are softer, or louder, in some bars. */
export function levelsSaid(memo: RawMemo, way: 'softer' | 'louder', about: HeardAbout): readonly LeadSaid[] {
  return saidOf(memo, about, LEVELS[way]);
}
