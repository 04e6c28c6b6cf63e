/** The numbers behind the pacing: entries and exits in time, section against section, rests, texture steps. */
import type { EntryEvent } from '../../../model/readings/pacing.ts';
import { barSpanText, counted, minutesText } from '../../../model/words/plain-words.ts';
import { ENTRY_AND_EXIT_WORDS } from '../../../model/readings/terms.ts';
import { decimalText } from '../../numbers-and-names.ts';
import { contrastText } from './pacing-words.ts';
import { barLink, cell, column, firstRows, type LinkedTable, type Run } from '../page-frame/sheet.ts';
import { wholeTable, type StageContext } from '../page-frame/stage-context.ts';

type Row = readonly (readonly Run[])[];

const COMES_WITH: Readonly<Record<EntryEvent['comesWith'], string>> = {
  section: 'a section',
  phrase: 'a phrase',
  nothing: 'neither',
};

function restText(bars: number | undefined, seconds: number | undefined): string {
  return bars === undefined || seconds === undefined ? '–' : `${counted(bars, 'bar')}, ${decimalText(seconds, 0)} s`;
}

function eventTable(context: StageContext): LinkedTable {
  const { entries = [], exits = [], silences = [] } = context.published.readings.pacing ?? {};
  const rows: { readonly quarters: number; readonly cells: Row }[] = [
    ...entries.map((event) => ({
      quarters: event.quarters,
      cells: [
        [barLink(event.bar)],
        cell(minutesText(event.second)),
        cell(`${context.partName(event.partId)} comes in`),
        cell(ENTRY_AND_EXIT_WORDS[event.kind]),
        cell(COMES_WITH[event.comesWith]),
        cell(restText(event.restBars, event.restSeconds)),
        cell(restText(event.sinceBars, event.sinceSeconds)),
      ],
    })),
    ...exits.map((event) => ({
      quarters: event.quarters,
      cells: [
        [barLink(event.bar)],
        cell(minutesText(event.second)),
        cell(`${context.partName(event.partId)} leaves`),
        cell(ENTRY_AND_EXIT_WORDS[event.kind]),
        cell('–'),
        cell(restText(event.restBars, event.restSeconds)),
        cell('–'),
      ],
    })),
    ...silences.map((silence) => ({
      quarters: silence.startQuarters,
      cells: [
        [barLink(silence.from)],
        cell(minutesText(silence.second)),
        cell('Everybody rests'),
        cell(`${decimalText(silence.seconds)} s`),
        cell('–'),
        cell('–'),
        cell('–'),
      ],
    })),
  ];
  const sorted = rows.sort((a, b) => a.quarters - b.quarters).map(({ cells }) => cells);
  return {
    caption: 'Entries, exits and silences in order of time',
    columns: [
      column('Bar', true),
      column('Clock', true),
      column('Event'),
      column('How'),
      column('Comes with'),
      column('Rest before or after'),
      column('Since the last entry'),
    ],
    ...firstRows(sorted, wholeTable(context, 'events')),
  };
}

function sectionTable(context: StageContext): LinkedTable {
  const { sections = [] } = context.published.readings.pacing ?? {};
  return {
    caption: 'Section against section (levels estimated)',
    columns: [
      column('Section'),
      column('Bars'),
      column('Lasts', true),
      column('Parts, mean', true),
      column('Lines, mean', true),
      column('Notes a second', true),
      column('Against the section before'),
    ],
    rows:
      sections.length < 2
        ? []
        : sections.map((section) => [
            cell(section.name),
            [barLink(section.from, barSpanText(section.from, section.to))],
            cell(minutesText(section.seconds)),
            cell(decimalText(section.parts)),
            cell(decimalText(section.lines)),
            cell(decimalText(section.onsetsPerSecond)),
            cell(contrastText(section)),
          ]),
    remark: '',
  };
}

function restTable(context: StageContext): LinkedTable {
  const { rests = [] } = context.published.readings.pacing ?? {};
  return {
    caption: 'Who rests how much',
    columns: [
      column('Part'),
      column('Bars played', true),
      column('Bars of rest', true),
      column('Longest rest'),
      column('Longest without a bar of rest'),
    ],
    rows: rests.map((rest) => [
      cell(context.partName(rest.partId)),
      cell(String(rest.soundingBars)),
      cell(String(rest.silentBars)),
      rest.longestRest === undefined
        ? cell('–')
        : [barLink(rest.longestRest.from, barSpanText(rest.longestRest.from, rest.longestRest.to))],
      [barLink(rest.longestRun.from, barSpanText(rest.longestRun.from, rest.longestRun.to))],
    ]),
    remark: '',
  };
}

function stepTable(context: StageContext): LinkedTable {
  const { steps = [] } = context.published.readings.pacing ?? {};
  const names = (ids: readonly string[]): string => (ids.length === 0 ? '–' : ids.map(context.partName).join(', '));
  const rows = steps.map((step): Row => [
    [barLink(step.from, barSpanText(step.from, step.to))],
    cell(`${decimalText(step.seconds, 0)} s`),
    cell(String(step.partIds.length)),
    cell(decimalText(step.lines, 0)),
    cell(names(step.came)),
    cell(names(step.went)),
  ]);
  return {
    caption: 'The texture, step by step',
    columns: [
      column('Bars'),
      column('Lasts', true),
      column('Parts', true),
      column('Lines', true),
      column('Come'),
      column('Go'),
    ],
    ...firstRows(rows, wholeTable(context, 'texture')),
  };
}

/** Tables with rows. */
export function pacingTables(context: StageContext): readonly LinkedTable[] {
  return [sectionTable, eventTable, restTable, stepTable]
    .map((table) => table(context))
    .filter(({ rows }) => rows.length > 0);
}
