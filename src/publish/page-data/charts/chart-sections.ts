/** Register chart, entry and exit map, balance summary: a figure each, with its table. */
import { whereSourcesDisagree } from '../../../analyse/level/power/where-sources-disagree.ts';
import type { ChartDrawing, LegendEntry } from '../../../model/drawing.ts';
import { barsText } from '../../../model/words/plain-words.ts';
import { decimalText, signedDbText } from '../../numbers-and-names.ts';
import { trustedMarkup, type TrustedMarkup } from '../../trusted-markup.ts';
import { medianMarginDb } from '../page-frame/stage-words.ts';
import { notesAbout, type NoteLink } from '../page-frame/notes-section.ts';
import { measuredAssumptions, measuredSentences, measuredTables } from './measured-balance.ts';
import { pacingTables } from './pacing-tables.ts';
import { pacingSentences } from './pacing-words.ts';
import { secondOpinion } from './second-opinion.ts';
import { chartTable, numbersLink, tablesWithRows } from './numbers-page.ts';
import type { Link, LinkedTable, NumberTable, Run, SheetSection } from '../page-frame/sheet.ts';
import { spacingSentences, spacingTables } from './spacing-tables.ts';
import { chartNamed } from '../../data/chart-names.ts';
import { downloadsOf, type StageContext } from '../page-frame/stage-context.ts';

export interface ShownFigure {
  readonly id: string;
  /** '' where it says no more than the section's heading. */
  readonly title: string;
  readonly description: string;
  readonly hasDrawing: boolean;
  readonly svg: TrustedMarkup;
  readonly legend: readonly { readonly sign: TrustedMarkup; readonly text: string }[];
  /** Where its numbers stand; none where there are none. */
  readonly numbers: readonly Link[];
}

interface ChartSectionBody {
  readonly intro: readonly string[];
  readonly figures: readonly ShownFigure[];
  readonly empty: string;
  /** Notes that are anchored to bars of this stage; one section has them for all charts. */
  readonly notes: readonly NoteLink[];
  /** Sentences after the figure, with a heading; empty where there is nothing to add. */
  readonly assumptions: readonly { readonly text: string; readonly isAssumed: boolean }[];
}

/** A section that goes on, under its chart, with sentences and tables about what the chart cannot say. */
interface SummarisedBody extends ChartSectionBody {
  readonly summary: {
    readonly heading: string;
    readonly sentences: readonly (readonly Run[])[];
    readonly tables: readonly Link[];
  };
}

function figureOf(chart: ChartDrawing, sectionHeading: string, numbers: readonly Link[]): ShownFigure {
  return {
    id: chart.id,
    title: chart.title === sectionHeading ? '' : chart.title,
    description: chart.description,
    hasDrawing: chart.svg !== '',
    svg: trustedMarkup(chart.svg),
    legend: chart.legend.map((entry: LegendEntry) => ({ sign: trustedMarkup(entry.sign), text: entry.text })),
    numbers,
  };
}

/** The figure of a subject's chart, with links to its numbers; none where there is no such chart. */
export function figuresOf(
  context: StageContext,
  name: string,
  sectionHeading: string,
  numbers: readonly Link[],
): readonly ShownFigure[] {
  const chart = chartNamed(context.published, name);
  return chart === undefined ? [] : [figureOf(chart, sectionHeading, numbers)];
}

/** Tables of a section beside its chart, and the links to them: first the chart's own, then `others`. */
function numbersOf(
  context: StageContext,
  section: string,
  tableName: string,
  others: readonly LinkedTable[] = [],
): { readonly numbers: readonly NumberTable[]; readonly own: readonly Link[]; readonly further: readonly Link[] } {
  const table = chartTable(context, section, tableName);
  const own = tablesWithRows(table === undefined ? [] : [{ id: 'chart', table }]);
  const further = tablesWithRows(others.map((one, index) => ({ id: `more-${String(index + 1)}`, table: one })));
  const links = (tables: readonly NumberTable[]): readonly Link[] =>
    tables.map((one) => numbersLink(context, section, one));
  return { numbers: [...own, ...further], own: links(own), further: links(further) };
}

const NOTHING = 'There is nothing to draw: no part has a note.';

/** The section "Register". */
export function registerSection(context: StageContext): SheetSection {
  const { numbers, own, further } = numbersOf(context, 'register', 'register', spacingTables(context));
  const body = {
    intro: ['How high and how low each part sounds, bar by bar. Sounding pitch.'],
    figures: figuresOf(context, 'register', 'Register', own),
    empty: NOTHING,
    notes: [],
    assumptions: [],
    summary: { heading: 'Spacing', sentences: spacingSentences(context), tables: further },
  } satisfies SummarisedBody;
  return {
    id: 'register',
    heading: 'Register',
    partial: 'chart-summary.njk',
    downloads: downloadsOf(context, [
      { name: 'register', label: 'Register as CSV' },
      { name: 'spacing', label: 'Families as CSV' },
    ]),
    body,
    numbers,
  };
}

/** The section "Entries and exits": the map, and under it how the forces are paced. */
export function entriesSection(context: StageContext): SheetSection {
  const { numbers, own, further } = numbersOf(context, 'entries', 'presence', pacingTables(context));
  const body = {
    intro: [
      'Who plays when, how each part comes in and how it leaves. An entry follows at least one whole silent bar. Under the map: who comes in, how many sound, and how loud they are together by estimate.',
    ],
    figures: figuresOf(context, 'entries', 'Entries and exits', own),
    empty: NOTHING,
    notes: notesAbout(context, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY),
    assumptions: [],
    summary: { heading: 'Pacing', sentences: pacingSentences(context), tables: further },
  } satisfies SummarisedBody;
  return {
    id: 'entries',
    heading: 'Entries and exits',
    partial: 'chart-summary.njk',
    downloads: downloadsOf(context, [
      { name: 'presence', label: 'Spans as CSV' },
      { name: 'events', label: 'Entries and exits as CSV' },
      { name: 'texture', label: 'Texture as CSV' },
      { name: 'sections', label: 'Sections as CSV' },
    ]),
    body,
    numbers,
  };
}

function balanceSummary(context: StageContext): readonly string[] {
  const { balance } = context.published.readings;
  const margin = medianMarginDb(context);
  const estimate =
    'Estimated from MIDI (velocities, controllers, players, published sound powers), not measured in a room.';
  if (margin === undefined)
    return [estimate, 'Foreground and background never sound together, so there is no margin to give.'];
  const margins = balance.flatMap((bar) =>
    bar.marginDb === undefined ? [] : [{ bar: bar.bar, marginDb: bar.marginDb }],
  );
  const lowest = margins.reduce((least, item) => (item.marginDb < least.marginDb ? item : least));
  const covered = balance.flatMap((bar) => ((bar.maskedShare ?? 0) >= 0.5 ? [bar.bar] : []));
  const sentences = [
    `The foreground's margin over the background is ${signedDbText(margin)} in the median bar and smallest in bar ${String(lowest.bar)} (${signedDbText(lowest.marginDb)}).`,
    covered.length === 0 ? '' : `At least half of it is masked by the background in ${barsText(covered)}.`,
  ];
  return [
    estimate,
    sentences.filter((sentence) => sentence !== '').join(' '),
    ...secondOpinion(context.published.readings.balance),
  ];
}

/** The section "Balance". */
export function balanceSection(context: StageContext): SheetSection {
  const { numbers, own, further } = numbersOf(context, 'balance', 'balance', measuredTables(context));
  const sentences = measuredSentences(context);
  const trims = context.published.stage.parts
    .filter((part) => part.trimDb !== 0)
    .map((part) => ({
      text: `${part.name}: trimmed by ${decimalText(part.trimDb)} dB in the settings.`,
      isAssumed: false,
    }));
  const body = {
    intro: balanceSummary(context),
    figures: figuresOf(context, 'balance', 'Balance', own),
    empty: NOTHING,
    notes: [],
    assumptions: [
      ...context.published.readings.levelAssumptions.map((assumption) => ({
        text: `${context.partName(assumption.partId)}: ${assumption.text}`,
        isAssumed: assumption.assumed,
      })),
      ...whereSourcesDisagree(context.published.stage.parts).map((text) => ({ text, isAssumed: false })),
      ...trims,
      ...measuredAssumptions(context).map((text) => ({ text, isAssumed: true })),
    ],
    summary: { heading: 'Measured on recordings', sentences, tables: further },
  } satisfies SummarisedBody;
  return {
    id: 'balance',
    heading: 'Balance',
    partial: sentences.length === 0 ? 'charts.njk' : 'chart-summary.njk',
    downloads: downloadsOf(context, [{ name: 'balance', label: 'Balance as CSV' }]),
    body,
    numbers,
  };
}
