/** What notes say of who leads, sentence by sentence: `Takte 9-16 singt der Tenor`, `melody in the flute from bar 9`, `Solo: Klarinette 9-16`. */
import type { Part } from '../../model/music/arrangement.ts';
import type { RawMemo } from '../../read/raw.ts';
import { BAR_SPAN_PATTERN } from '../../read/settings/bar-span.ts';
import { foldText } from '../names/text.ts';
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
  TO_THE_END,
} from './lead-words.ts';
import type { Named } from './named-in-sentence.ts';
import { takeParts } from './named-in-sentence.ts';
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
export function wholeSentences(pieces: readonly string[]): readonly string[] {
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
  /^(?:(?:in |en |au )?§ (?:(?:the|der|die|das|le|la|les|el|los|il|o|a) )?¤(\d+)¤|(?:the |der |die |das )?¤(\d+)¤ (?:in |en |a )?§)$/u;

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

/** A clause of nothing but bars. */
const BARS_ALONE = /^(?:(?:in|im|en|a|at|from|nelle|dans|nas)(?: (?:the|den|les|las|le|os|as))? )?§$/u;

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
  const clauses = clausesOf(foldText(named.text));
  for (const [place, clause] of clauses.entries()) {
    const marks = clause.split(BARS).length - 1;
    const own = bars.bars.slice(taken, taken + marks).flat();
    taken += marks;
    if (own.length > 0) before = own;
    const lead = saidBy(clause, named.groups, goesOn, around, setting);
    goesOn = lead !== undefined;
    if (lead === undefined || lead.partIds.length === 0) continue;
    // The tune is in the trombone, bars 9 to 16: the bars are a clause of their own.
    const behind = before.length === 0 && BARS_ALONE.test(clauses[place + 1] ?? '') ? bars.bars[taken] : undefined;
    if (behind !== undefined) before = behind;
    const inSection = before.length > 0 ? [] : sectionIn(clause, setting.sections);
    const there = before.length > 0 ? before : inSection.length > 0 ? inSection : around.bars;
    const isOfAll =
      around.isOpen && bars.bars.length === 0 && lead.isOfAll && !OF_A_PLACE.test(clause.replaceAll(TO_THE_END, ''));
    if (there.length === 0 && !isOfAll) continue;
    said.push({ partIds: lead.partIds, bars: lead.isOnward ? onwardFrom(there, around.bars) : there });
  }
  return said;
}

/**
 * What stands over the next sentence: the bars of this one, where it names some at its beginning and nobody who leads in them: `Ab Takt 25 alle. Melodie
 * in den ersten Geigen.`
 */
function goingOn(sentence: string, saysWho: boolean, around: Around): Around {
  if (saysWho || /[?¿]/.test(sentence)) return around;
  const { text, bars } = takeBars(sentence.normalize('NFC').replaceAll(/[§¤]/g, ' '));
  const opens = /^[\s*_-]*§/u.test(text);
  if (!opens || bars.length !== 1) return around;
  return { partIds: around.partIds, bars: bars.flat(), isOpen: false };
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
    let under: Around = around;
    return wholeSentences(sentencesOf({ heading, markdown })).flatMap((quote) => {
      const own = saidIn(quote, under, setting, saidBy);
      under = goingOn(quote, own.length > 0, around);
      return own.map((each) => ({ ...each, file: memo.file, quote }));
    });
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
