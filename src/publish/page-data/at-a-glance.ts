/** The first screen of a stage: what this piece is and how it stands, in words that need no training. */
import { median } from '../../model/dynamics.ts';
import { agreeing, barSpanText, barsText, counted, listText } from '../../model/plain-words.ts';
import type { Finding, FindingLevel } from '../../model/readings.ts';
import {
  barCountText,
  decimalText,
  keyText,
  metersText,
  minutesText,
  signedDbText,
  tempoText,
  transpositionText,
} from '../sentences.ts';
import { mapTable } from './map-table.ts';
import { memoList } from './notes-section.ts';
import { barLink, cell, plain, type LinkedTable, type Run, type SheetSection } from './sheet.ts';
import { SHORTHAND_LEGEND, shorthandOf } from './shorthand.ts';
import { stageFileName, type StageContext } from './stage-context.ts';

interface HeadlineFigure {
  readonly label: string;
  readonly amount: string;
  readonly unit: string;
  readonly remark: string;
}

interface StageListItem {
  readonly href: string;
  readonly title: string;
  readonly remark: string;
  readonly summary: string;
  readonly isCurrent: boolean;
}

interface AtAGlance {
  readonly lead: string;
  readonly standing: readonly string[];
  readonly remark: string;
  readonly figures: readonly HeadlineFigure[];
  readonly facts: readonly { readonly label: string; readonly runs: readonly Run[] }[];
  readonly parts: LinkedTable;
  readonly stages: readonly StageListItem[];
  readonly questions: readonly (readonly Run[])[];
  readonly decisions: readonly (readonly Run[])[];
  readonly shorthand: string;
  readonly shorthandLegend: string;
  readonly map: LinkedTable;
}

/** Shorter doublings are told under the score. */
const LONG_DOUBLING_BARS = 4;
const MOST_DOUBLINGS = 4;

/** Findings that stand (not accepted) of one level. */
function standing(findings: readonly Finding[], level: FindingLevel): number {
  return findings.filter((finding) => finding.level === level && finding.accepted === undefined).length;
}

/** `3 to fix, 5 to look at and 2 to note`; '' where none stands. */
export function findingsText(findings: readonly Finding[]): string {
  const words: readonly (readonly [FindingLevel, string])[] = [
    ['fix', 'to fix'],
    ['look', 'to look at'],
    ['note', 'to note'],
  ];
  return listText(
    words.flatMap(([level, word]) => {
      const count = standing(findings, level);
      return count === 0 ? [] : [`${String(count)} ${word}`];
    }),
  );
}

/** Names of the parts that are in front, in the order in which they first are. */
function foregroundNames(context: StageContext): readonly string[] {
  return [...new Set(context.published.stage.foreground.map((span) => span.partId))].map(context.partName);
}

/** Median of the bars' margins in dB; undefined where no bar has one. */
export function medianMarginDb(context: Pick<StageContext, 'published'>): number | undefined {
  return median(context.published.readings.balance.flatMap((bar) => bar.marginDb ?? []));
}

function leadSentence(context: StageContext): string {
  const { stage } = context.published;
  const front = foregroundNames(context);
  const others = stage.parts.filter((part) => part.role === 'background').length;
  const size = `${barCountText(stage.timeline.bars)}, ${minutesText(stage.seconds)} minutes`;
  if (stage.parts.length === 0) return `${size}, in which no part plays yet.`;
  if (front.length === 0) return `${size}, for ${counted(stage.parts.length, 'part')}.`;
  const company = others === 0 ? 'alone' : `with ${counted(others, 'other part')}`;
  return `${size}: ${listText(front)} in front${others === 0 ? ', ' : ' '}${company}.`;
}

function balanceSentence(context: StageContext): string {
  const margin = medianMarginDb(context);
  if (margin === undefined) return '';
  const below = context.published.readings.balance.flatMap((bar) => ((bar.marginDb ?? 0) < 0 ? [bar.bar] : []));
  const front = foregroundNames(context);
  const who = front.length === 1 ? (front[0] ?? '') : 'what is in front';
  const side = margin >= 0 ? 'above' : 'below';
  const exceptions =
    margin < 0 ? '' : below.length === 0 ? ` and never falls below it` : ` and falls below it in ${barsText(below)}`;
  return `As sketched, ${who} stands ${decimalText(Math.abs(margin))}\u00a0dB ${side} the rest in the median bar${exceptions}. This is an estimate from the MIDI data, not a measurement${assumedFrontText(context, who)}.`;
}

/** Said where the figure hangs on a level that no source gives. */
function assumedFrontText(context: StageContext, who: string): string {
  const { stage, readings } = context.published;
  const front = new Set(stage.foreground.map((span) => span.partId));
  const isAssumed = readings.levelAssumptions.some((item) => item.assumed && front.has(item.partId));
  return isAssumed ? `; no published level of ${who} is at hand, so its own is assumed` : '';
}

/** What the program had to guess, and what the notes ask; the latter lead to the note. */
function openQuestions(context: StageContext): readonly (readonly Run[])[] {
  return [
    ...context.published.stage.questions.map((question) => cell(question.text)),
    ...memoList(context, 'question'),
  ];
}

function standingSentences(context: StageContext): readonly string[] {
  const { findings } = context.published;
  const open = findings.filter((finding) => finding.accepted === undefined);
  const accepted = findings.length - open.length;
  const judged =
    accepted === 0 ? '' : `; ${String(accepted)} more ${agreeing(accepted, 'was', 'were')} judged and accepted`;
  const found =
    open.length === 0
      ? `None of the ${counted(context.rules.length, 'rule')} applied to it found anything that still stands${judged}.`
      : `${counted(open.length, 'finding')}: ${findingsText(open)}${judged}.`;
  const questions = openQuestions(context).length;
  const asked =
    questions === 0 ? [] : [`${counted(questions, 'question')} ${agreeing(questions, 'is', 'are')} open (see below).`];
  const balance = balanceSentence(context);
  return [found, ...(balance === '' ? [] : [balance]), ...asked];
}

function headlineFigures(context: StageContext): readonly HeadlineFigure[] {
  const { stage, findings } = context.published;
  const margin = medianMarginDb(context);
  const players = stage.parts.reduce((sum, part) => sum + part.players, 0);
  const levelFigure = (level: FindingLevel, label: string): HeadlineFigure => ({
    label,
    amount: String(standing(findings, level)),
    unit: '',
    remark: '',
  });
  return [
    { label: 'Duration', amount: minutesText(stage.seconds), unit: 'min', remark: '' },
    { label: 'Parts', amount: String(stage.parts.length), unit: '', remark: counted(players, 'player') },
    {
      label: 'Median margin',
      amount: margin === undefined ? '\u2013' : signedDbText(margin).replace(/\u00a0dB$/, ''),
      unit: margin === undefined ? '' : 'dB',
      remark: 'foreground over the rest, estimated',
    },
    levelFigure('fix', 'To fix'),
    levelFigure('look', 'To look at'),
    levelFigure('note', 'To note'),
  ];
}

function keyRuns(context: StageContext): readonly Run[] {
  const { keys } = context.published.written;
  const shown = keys.slice(0, 6);
  const estimated = keys.some((key) => key.by === 'estimate');
  const runs = shown.flatMap((key, index): readonly Run[] => [
    plain(index === 0 ? keyText(key) : `, ${keyText(key)} from `),
    ...(index === 0 ? [] : [barLink(key.from, `bar ${String(key.from)}`)]),
  ]);
  const more = keys.length - shown.length;
  const tail = [
    more > 0 ? `, ${counted(more, 'further change')}` : '',
    estimated ? ' (estimated from the notes)' : '',
  ].join('');
  return tail === '' ? runs : [...runs, plain(tail)];
}

/** Parts that double another for long, at the unison or octaves; the longest first. */
function doublingsText(context: StageContext): string {
  const intervals: Readonly<Record<string, string>> = {
    unison: 'in unison',
    octave: 'in octaves',
    'two-octaves': 'two octaves apart',
  };
  const long = context.published.readings.doublings
    .filter(({ interval, from, to }) => interval in intervals && to - from + 1 >= LONG_DOUBLING_BARS)
    .sort((a, b) => b.to - b.from - (a.to - a.from) || a.from - b.from);
  return long
    .slice(0, MOST_DOUBLINGS)
    .map(
      ({ partIds: [one, other], interval, from, to }) =>
        `${context.partName(one)} and ${context.partName(other)} ${intervals[interval] ?? ''} in ${barSpanText(from, to)}`,
    )
    .join('; ');
}

function transposingText(context: StageContext): string {
  return context.published.stage.parts
    .filter((part) => !part.unpitched && part.transposition.semitones !== 0)
    .map((part) => `${part.name} sounds ${transpositionText(part)}`)
    .join('; ');
}

function factList(context: StageContext): AtAGlance['facts'] {
  const { stage, written } = context.published;
  const { bars } = stage.timeline;
  const sections = stage.sections.flatMap((section, index): readonly Run[] => [
    plain(`${index === 0 ? '' : ', '}${section.name}\u00a0`),
    barLink(
      section.from,
      section.from === section.to ? String(section.from) : `${String(section.from)}–${String(section.to)}`,
    ),
  ]);
  const facts: readonly { readonly label: string; readonly runs: readonly Run[] }[] = [
    { label: 'Length', runs: cell(`${barCountText(bars)}, ${minutesText(stage.seconds)}`) },
    { label: 'Meter', runs: cell(metersText(bars)) },
    { label: 'Tempo', runs: cell(written.onGrid ? tempoText(bars) : `free (the file says ${tempoText(bars)})`) },
    { label: 'Key', runs: keyRuns(context) },
    { label: 'Transposing', runs: cell(transposingText(context)) },
    { label: 'Doublings', runs: cell(doublingsText(context)) },
    { label: 'Sections', runs: stage.sections.length > 1 ? sections : [] },
    {
      label: 'In front',
      runs: cell(
        foregroundNames(context).length === 0
          ? ''
          : `${listText(foregroundNames(context))}${stage.foregroundGuessed ? ' (guessed: nobody said who is)' : ''}`,
      ),
    },
  ];
  return facts.filter((fact) => fact.runs.some((run) => run.text !== ''));
}

function partTable(context: StageContext): LinkedTable {
  return {
    caption: 'Instrumentation in score order',
    columns: [
      { label: 'Part', isNumeric: false },
      { label: 'Instrument', isNumeric: false },
      { label: 'Players', isNumeric: true },
      { label: 'Place', isNumeric: false },
      { label: 'Sounds', isNumeric: false },
    ],
    rows: context.published.stage.parts.map((part) => [
      cell(part.name),
      cell(part.instrumentName),
      cell(`${String(part.players)}${part.playersBy === 'default' ? ' (assumed)' : ''}`),
      cell(part.role === 'foreground' ? 'in front' : 'behind'),
      cell(part.unpitched ? 'without pitch' : transpositionText(part)),
    ]),
    remark: '',
  };
}

function stageList(context: StageContext): readonly StageListItem[] {
  return context.stages.map((published, index) => {
    const found = findingsText(published.findings);
    const size = `${barCountText(published.stage.timeline.bars)}, ${minutesText(published.stage.seconds)}, ${counted(published.stage.parts.length, 'part')}`;
    return {
      href: stageFileName(context.stages, index),
      title: published.stage.title,
      remark: published.stage.remark ?? '',
      summary: `${size}; ${found === '' ? 'no findings' : found}`,
      isCurrent: published === context.published,
    };
  });
}

/** The section "At a glance". */
export function atAGlanceSection(context: StageContext): SheetSection {
  const body: AtAGlance = {
    lead: leadSentence(context),
    standing: standingSentences(context),
    remark: context.published.stage.remark ?? '',
    figures: headlineFigures(context),
    facts: factList(context),
    parts: partTable(context),
    stages: stageList(context),
    questions: openQuestions(context),
    decisions: memoList(context, 'decision'),
    shorthand: shorthandOf(context.published.stage.parts),
    shorthandLegend: SHORTHAND_LEGEND,
    map: mapTable(context.published.stage, context.published.written.keys),
  };
  return { id: 'at-a-glance', heading: 'At a glance', partial: 'at-a-glance.njk', downloads: [], body };
}
