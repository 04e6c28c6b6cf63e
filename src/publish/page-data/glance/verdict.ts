/** How the piece stands, for a first screen and the client sheet: who is in the foreground and where it is lost, what must be fixed. No decibels. */
import {
  barSpanText,
  counted,
  inSentence,
  listText,
  runsOf,
  sentenceStart,
  spanText,
} from '../../../model/words/plain-words.ts';
import {
  amplifiedLeaders,
  basisText,
  frontStanding,
  isFrontAssumed,
  isPlainlyUnder,
  judgedBalance,
  nobodyAmplified,
  toldBalance,
  type JudgedBar,
} from '../../../analyse/level/measured/judged-balance.ts';
import type { Part } from '../../../model/music/arrangement.ts';
import { onceEach } from '../../../model/once-each.ts';
import type { Finding } from '../../../model/readings/readings.ts';
import { barLink, plain, type Run } from '../page-frame/sheet.ts';
import { LEVEL_WORDS } from '../page-frame/stage-words.ts';
import type { StageContext } from '../page-frame/stage-context.ts';

/** More places than these are counted. */
const MOST_PLACES = 6;
/** So many findings are told by place. */
const MOST_TOLD = 5;
/** More numbers of findings in a sentence are counted. */
const MOST_NUMBERS = 4;
const MOST_PARTS = 2;

/** A finding in one line. */
export interface ToldPlace {
  readonly number: number;
  readonly href: string;
  readonly level: 'fix' | 'look';
  /** For those who do not see how its number is drawn. */
  readonly levelText: string;
  readonly bars: Run;
  readonly who: string;
  readonly what: string;
}

export interface Verdict {
  /** Sentences whose places are links. */
  readonly sentences: readonly (readonly Run[])[];
  /** The first ones of the list, by number. */
  readonly places: readonly ToldPlace[];
  /** Leads to all findings; '' where none is left out. */
  readonly others: string;
  readonly othersHref: string;
}

/** Items of a sentence with commas and an `and`. */
function listed(items: readonly (readonly Run[])[], most: number, more: string): readonly Run[] {
  const shown = items.length > most ? [...items.slice(0, most - 1), [plain(more)]] : items;
  return shown.flatMap((item, index) => {
    const before = index === 0 ? [] : [plain(index === shown.length - 1 ? ' and ' : ', ')];
    return [...before, ...item];
  });
}

/** A name in brackets without brackets of its own: `Voice` of `Voice (soprano)`, where no other part is called so. */
function shortName(name: string, all: readonly string[]): string {
  const short = name.replace(/\s*\([^()]*\)$/, '');
  return short === '' || all.some((other) => other !== name && other.startsWith(short)) ? name : short;
}

/** `bars 21–24 (Cello) and 30`, the bars of each span a link to its first. */
function barRuns(bars: readonly number[], leaders: (from: number, to: number) => string): readonly Run[] {
  const spans = runsOf(bars);
  const isCut = spans.length > MOST_PLACES;
  const leadersOf = spans.map(({ from, to }) => (isCut ? '' : leaders(from, to)));
  const links = spans.map(({ from, to }, index) => {
    // Neighbouring spans of one leader name it once, after the last.
    const own = leadersOf[index] ?? '';
    const who = own === leadersOf[index + 1] ? '' : own;
    return [barLink(from, spanText(from, to)), ...(who === '' ? [] : [plain(` (${who})`)])];
  });
  return [
    plain(bars.length === 1 ? 'bar ' : 'bars '),
    ...listed(links, MOST_PLACES, `${String(spans.length - MOST_PLACES + 1)} more places`),
  ];
}

/** Who leads in a span; '' where the piece has one leader, or the span many. */
function leadersIn(context: StageContext, names: readonly string[]): (from: number, to: number) => string {
  return (from, to) => {
    const spans = context.published.stage.foreground.filter((span) => span.from <= to && span.to >= from);
    const all = context.published.stage.parts.map(({ name }) => name);
    const own = [...new Set(spans.map(({ partId }) => shortName(context.partName(partId), all)))];
    return names.length > 1 && own.length <= MOST_PARTS ? listText(own) : '';
  };
}

/** Bars of which it is known who is louder, measured or estimated; one that is led into a microphone only where it was measured. */
function knownBars({ stage, readings }: StageContext['published']): readonly JudgedBar[] {
  return toldBalance(stage, readings).filter(({ marginDb }) => marginDb !== undefined);
}

/** Bars in which the foreground is the softer side, by more than the estimate may be wrong where its level is assumed. */
const barsUnder = onceEach((published: StageContext['published']): readonly number[] => {
  const { stage, readings } = published;
  return knownBars(published).flatMap((bar) => (isPlainlyUnder(bar, stage, readings) ? [bar.bar] : []));
});

/** The findings that a sentence about the softer foreground goes into. */
function isSaid(context: StageContext, { rule, from, to }: Finding): boolean {
  return rule === 'background-as-loud' && barsUnder(context.published).some((bar) => from <= bar && bar <= to);
}

/** Said where the estimate hangs on a level that no source gives. */
function assumedText(context: StageContext, names: readonly string[]): string {
  if (knownBars(context.published).every(({ isMeasured }) => isMeasured)) return '';
  return isFrontAssumed(context.published.stage, context.published.readings)
    ? ` (${names.length === 1 ? 'its own level is' : 'levels of the foreground are'} assumed)`
    : '';
}

/** Words by which a finding goes on to its other places. */
const LIKEWISE = 'likewise in';

/** The end of a sentence about the softer foreground: `: finding 5 (its own level is assumed).` */
function closingRuns(context: StageContext, names: readonly string[]): readonly Run[] {
  const under = barsUnder(context.published);
  const said = context.published.findings.filter(
    (finding) => finding.accepted === undefined && isSaid(context, finding),
  );
  // What likewise stands elsewhere is in the finding too.
  const areAllTold =
    said.some(({ message }) => message.includes(LIKEWISE)) ||
    under.every((bar) => said.some(({ from, to }) => from <= bar && bar <= to));
  const links = context.published.findings.flatMap((finding, index): readonly (readonly Run[])[] => {
    const number = String(index + 1);
    return finding.accepted === undefined && isSaid(context, finding)
      ? [
          [
            { text: `finding ${number}`, href: `#finding-${number}` },
            ...(areAllTold ? [] : [plain(` speaks of ${barSpanText(finding.from, finding.to)}`)]),
          ],
        ]
      : [];
  });
  const found = listed(links, MOST_NUMBERS, `${String(links.length - MOST_NUMBERS + 1)} more`);
  return [
    ...(links.length === 0 ? [] : [plain(areAllTold ? ': ' : '; '), ...found]),
    plain(`${assumedText(context, names)}.`),
  ];
}

function isSinger({ family }: Part): boolean {
  return family === 'voice';
}

/** Those of the foreground that lead in some of these bars. */
function leadersOf(context: StageContext, bars: readonly JudgedBar[]): readonly string[] {
  const spans = context.published.stage.foreground.filter(({ from, to }) =>
    bars.some(({ bar }) => from <= bar && bar <= to),
  );
  return [...new Set(spans.map(({ partId }) => context.partName(partId)))];
}

function foregroundSentence(context: StageContext, names: readonly string[]): readonly Run[] {
  const { stage } = context.published;
  if (stage.parts.length === 0) return [plain('No part plays yet.')];
  if (names.length === 0) return [];
  const known = knownBars(context.published);
  const all = judgedBalance(context.published.readings).filter(({ marginDb }) => marginDb !== undefined);
  const isUntold = known.length < all.length;
  if (known.length === 0 && isUntold)
    return [
      plain(
        `How loud ${stage.foregroundGuessed ? 'the foreground' : listText(names, 3)} is beside the others is not told: ${amplifiedLeaders(stage).some(isSinger) ? 'a singer before a band has a microphone' : 'an electric guitar has its own amplifier'}.`,
      ),
    ];
  if (known.length === 0)
    return stage.parts.length === names.length
      ? [plain(`${listText(names, 4)} alone.`)]
      : [plain(`How loud the foreground (${listText(names, 3)}) is cannot be estimated.`)];
  // Who is taken for it stands with the question; who leads where nothing is told has no place in the sentence.
  const told = isUntold ? leadersOf(context, known) : names;
  const who = stage.foregroundGuessed ? 'the foreground' : `the foreground (${listText(told, 3)})`;
  const start = `${sentenceStart(basisText(known))}, ${who} is`;
  const closing = closingRuns(context, told);
  const { softer, under, isNear, isMostlySofter } = frontStanding(known, stage, context.published.readings);
  const louder = isNear ? 'about as loud as the background or louder' : 'louder than the background';
  const where = isUntold ? `where ${nobodyAmplified(stage)} leads` : 'throughout';
  if (isMostlySofter) {
    const share =
      softer.length === known.length
        ? where
        : `in ${String(softer.length)} of ${counted(known.length, 'bar')}${isUntold ? ` ${where}` : ''}`;
    const isAllUnder = softer.length === under.length;
    const grade =
      under.length === 0
        ? [plain(', by less than a dynamic grade')]
        : [plain(', by about a dynamic grade or more in '), ...barRuns(under, leadersIn(context, told))];
    return [
      plain(`${start} softer than the whole background together ${share}`),
      ...(isAllUnder ? [] : grade),
      ...closing,
    ];
  }
  if (under.length === 0) return [plain(`${start} ${louder} ${where}`), ...closing];
  return [
    plain(`${start} ${louder} ${isUntold ? `${where}, ` : ''}except in `),
    ...barRuns(under, leadersIn(context, told)),
    ...closing,
  ];
}

/** `4 places must be fixed before parts are copied; 5 are to check.` */
function countSentence(findings: readonly Finding[]): readonly Run[] {
  const count = (level: Finding['level']): number =>
    findings.filter((finding) => finding.level === level && finding.accepted === undefined).length;
  const [fix, look] = [count('fix'), count('look')];
  const fixed = fix === 0 ? 'Nothing must be fixed' : `${counted(fix, 'place')} must be fixed`;
  const checked = look === 0 ? '' : `; ${look === 1 ? '1 is' : `${String(look)} are`} to check`;
  return [plain(`${fixed} before parts are copied${checked}.`)];
}

function toldPlaces(context: StageContext): readonly ToldPlace[] {
  const { findings } = context.published;
  const titles = new Map(context.rules.map((rule) => [rule.name, rule.title]));
  const open = findings
    .map((finding, index) => ({ finding, number: index + 1 }))
    .filter(({ finding }) => finding.accepted === undefined);
  const told = open.filter(({ finding }) => finding.level !== 'note').slice(0, MOST_TOLD);
  return told.map(({ finding, number }) => {
    const { from, to, rule, partIds } = finding;
    const title = titles.get(rule) ?? rule;
    return {
      number,
      href: `#finding-${String(number)}`,
      level: finding.level === 'fix' ? 'fix' : 'look',
      levelText: LEVEL_WORDS[finding.level],
      bars: barLink(from, barSpanText(from, to)),
      who: partIds.length > MOST_PARTS ? '' : listText(partIds.map(context.partName)),
      what: inSentence(title),
    };
  });
}

/** How a stage stands. `names`: the parts of the foreground. Links lead to places of the stage's own page. */
export function verdictOf(context: StageContext, names: readonly string[]): Verdict {
  const { stage, findings } = context.published;
  const hasParts = stage.parts.length > 0;
  const sentences = [foregroundSentence(context, names), ...(hasParts ? [countSentence(findings)] : [])];
  const places = hasParts ? toldPlaces(context) : [];
  return {
    sentences: sentences.filter((runs) => runs.length > 0),
    places,
    others: findings.length > places.length ? `All ${counted(findings.length, 'finding')}` : '',
    othersHref: '#findings',
  };
}
