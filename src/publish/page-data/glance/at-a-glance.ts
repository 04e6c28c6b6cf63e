/** The first screen of a stage: what this piece is and how it stands, in words that need no training. */
import { drawThumbnail } from '../../../draw/chart/whole-piece/whole-piece-thumbnail.ts';
import { groupedBy } from '../../../model/grouped.ts';
import { barsText, counted, listText, minutesText, numbersIn, fullStop } from '../../../model/words/plain-words.ts';
import type { Part } from '../../../model/music/arrangement.ts';
import type { KeySpan } from '../../../model/music/written.ts';
import { barCountText, keyText, metersText, tempoText, transpositionText } from '../../numbers-and-names.ts';
import { askedShortly } from './asked.ts';
import { briefChange } from '../changes/change-lead.ts';
import { formRuns } from '../charts/form-runs.ts';
import { mapTable } from '../charts/map-table.ts';
import { memoList } from '../page-frame/notes-section.ts';
import { piecePicture, type PiecePicture } from './piece-picture.ts';
import { barLink, cell, plain, type LinkedTable, type Run, type SheetSection } from '../page-frame/sheet.ts';
import { shorthandOf } from '../page-frame/shorthand.ts';
import { trustedMarkup, type TrustedMarkup } from '../../trusted-markup.ts';
import { stageFileName, type StageContext } from '../page-frame/stage-context.ts';
import { verdictOf, type Verdict } from './verdict.ts';
import { findingsText, foregroundNames, sizeText } from '../page-frame/stage-words.ts';

interface StageListItem {
  readonly stamp: TrustedMarkup;
  readonly href: string;
  readonly title: string;
  readonly remark: string;
  readonly summary: string;
  readonly isCurrent: boolean;
}

interface AtAGlance {
  readonly size: string;
  readonly verdict: Verdict;
  /** What a reader is asked, a line each; before the verdict where it hangs on the answer. */
  readonly asked: readonly (readonly Run[])[];
  readonly asksFirst: boolean;
  /** What the stage changed in the one before; `text` is '' for the first. */
  readonly changed: { readonly text: string; readonly href: string };
  readonly picture: PiecePicture;
  readonly remark: string;
  readonly facts: readonly { readonly label: string; readonly runs: readonly Run[] }[];
  readonly parts: LinkedTable;
  readonly stages: readonly StageListItem[];
  readonly decisions: readonly (readonly Run[])[];
  readonly shorthand: string;
  readonly shorthandLegend: string;
  readonly map: LinkedTable;
}

/** Shorter doublings are told under the score. */
const LONG_DOUBLING_BARS = 4;
const MOST_DOUBLINGS = 4;
const MOST_ASSUMED = 6;

/** What this stage changed in the one before. */
function changedOf(context: StageContext): AtAGlance['changed'] {
  const { published, index, stages } = context;
  const before = stages[index - 1];
  const change = context.changes.find(({ after }) => after === published.stage.id);
  if (before === undefined || change === undefined) return { text: '', href: '' };
  return {
    text: fullStop(`It ${briefChange({ change, before, after: published })}`),
    href: `changes.html#change-${String(index)}`,
  };
}

/** An estimated key with less lead over the next is doubtful. Our convention: of open scores nine in ten lead by more. */
const DOUBTFUL = 0.2;

/** A doubtful key is not stated. */
function keyOrRival(key: KeySpan): string {
  if (key.rival !== undefined) return `${keyText(key)} or ${keyText(key.rival)}`;
  return `${keyText(key)}${key.by === 'estimate' && key.confidence < DOUBTFUL ? ' (doubtful)' : ''}`;
}

function keyRuns(context: StageContext): readonly Run[] {
  const { keys } = context.published.written;
  const shown = keys.slice(0, 6);
  const estimated = keys.some((key) => key.by === 'estimate');
  const runs = shown.flatMap((key, index): readonly Run[] => [
    plain(`${index === 0 ? '' : ', '}${keyOrRival(key)}${index === 0 ? '' : ' from '}`),
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
  // One pair at one interval is told once, in all its bars.
  const pairs = groupedBy(long, ({ partIds, interval }) => `${partIds.join(' ')} ${interval}`);
  return [...pairs.values()]
    .slice(0, MOST_DOUBLINGS)
    .map((group) => {
      const names = group[0]?.partIds.map(context.partName) ?? [];
      return `${listText(names)} ${intervals[group[0]?.interval ?? ''] ?? ''} in ${barsText(group.flatMap(numbersIn))}`;
    })
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
    { label: 'Meter', runs: cell(metersText(bars)) },
    { label: 'Tempo', runs: cell(written.onGrid ? tempoText(bars) : `free (the file says ${tempoText(bars)})`) },
    { label: 'Key', runs: keyRuns(context) },
    { label: 'Doublings', runs: cell(doublingsText(context)) },
    { label: 'Sections', runs: stage.sections.length > 1 ? sections : [] },
    { label: 'Form', runs: formRuns(context.published.readings.form) },
  ];
  return facts.filter((fact) => fact.runs.some((run) => run.text !== ''));
}

/** Whose players nobody counted. */
function playersRemark(parts: readonly Part[]): string {
  const assumed = parts.filter(({ playersBy }) => playersBy === 'default').map(({ name }) => name);
  if (assumed.length === 0) return '';
  if (assumed.length === parts.length)
    return 'How many play each part is assumed: no name or setting says it, and no note in words that were understood.';
  return `How many play ${listText(assumed, MOST_ASSUMED)} is assumed: no name or setting says it, and no note in words that were understood.`;
}

function partTable(context: StageContext): LinkedTable {
  return {
    caption: 'Instrumentation in score order',
    columns: [
      { label: 'Part', isNumeric: false },
      { label: 'Instrument', isNumeric: false },
      { label: 'Players', isNumeric: true },
      { label: 'Role', isNumeric: false },
      { label: 'Sounds', isNumeric: false },
    ],
    rows: context.published.stage.parts.map((part) => [
      cell(part.name),
      cell(part.instrumentName),
      cell(String(part.players)),
      cell(part.role === 'foreground' ? 'foreground' : 'background'),
      cell(part.unpitched ? 'without pitch' : transpositionText(part)),
    ]),
    remark: playersRemark(context.published.stage.parts),
  };
}

function stageList(context: StageContext): readonly StageListItem[] {
  return context.stages.map((published, index) => {
    const found = findingsText(published.findings);
    const size = `${barCountText(published.stage.timeline.bars)}, ${minutesText(published.stage.seconds)}, ${counted(published.stage.parts.length, 'part')}`;
    return {
      stamp: trustedMarkup(context.isCurrent ? drawThumbnail(published.stage, published.readings) : ''),
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
  const names = foregroundNames(context);
  const shorthand = shorthandOf(context.published.stage.parts);
  const body: AtAGlance = {
    size: sizeText(context),
    verdict: verdictOf(context, names),
    asked: askedShortly(context, names),
    asksFirst: context.published.stage.foregroundGuessed,
    changed: changedOf(context),
    picture: piecePicture(context.published),
    remark: context.published.stage.remark ?? '',
    facts: factList(context),
    parts: partTable(context),
    stages: stageList(context),
    decisions: memoList(context, 'decision'),
    shorthand: shorthand.text,
    shorthandLegend: shorthand.legend,
    map: mapTable(context.published.stage, context.published.written.keys),
  };
  return { id: 'at-a-glance', heading: 'At a glance', partial: 'at-a-glance.njk', downloads: [], body };
}
