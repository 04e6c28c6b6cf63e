/** The pacing of a stage as CSV tables: entries and exits in order of time, the texture bar by bar, section against section. */
import type { PublishedStage } from '../dossier-input.ts';
import { partNamer } from '../numbers-and-names.ts';
import type { CsvCell, CsvTable } from './csv.ts';
import { rounded, roundedDb } from './rounding.ts';

interface EventRow {
  readonly quarters: number;
  readonly cells: readonly CsvCell[];
}

const seconds = (amount: number | undefined): number | undefined =>
  amount === undefined ? undefined : rounded(amount, 3);

function eventRows({ stage, readings }: PublishedStage): readonly (readonly CsvCell[])[] {
  const name = partNamer(stage);
  const { entries = [], exits = [], silences = [] } = readings.pacing ?? {};
  const rows: EventRow[] = [
    ...entries.map((event) => ({
      quarters: event.quarters,
      cells: [
        event.bar,
        rounded(event.quarters),
        seconds(event.second),
        'entry',
        event.partId,
        name(event.partId),
        event.kind,
        event.comesWith,
        event.restBars,
        seconds(event.restSeconds),
        event.sinceBars,
        seconds(event.sinceSeconds),
      ],
    })),
    ...exits.map((event) => ({
      quarters: event.quarters,
      cells: [
        event.bar,
        rounded(event.quarters),
        seconds(event.second),
        'exit',
        event.partId,
        name(event.partId),
        event.kind,
        undefined,
        event.restBars,
        seconds(event.restSeconds),
        undefined,
        undefined,
      ],
    })),
    ...silences.map((silence) => ({
      quarters: silence.startQuarters,
      cells: [
        silence.from,
        rounded(silence.startQuarters),
        seconds(silence.second),
        'silence',
        undefined,
        undefined,
        undefined,
        undefined,
        undefined,
        seconds(silence.seconds),
        undefined,
        undefined,
      ],
    })),
  ];
  return rows.sort((a, b) => a.quarters - b.quarters).map(({ cells }) => cells);
}

export const PACING_TABLES: readonly CsvTable[] = [
  {
    name: 'events',
    columns: () => [
      'bar',
      'startQuarters',
      'second',
      'event',
      'part',
      'name',
      'kind',
      'comesWith',
      'restBars',
      'restSeconds',
      'barsSinceLastEntry',
      'secondsSinceLastEntry',
    ],
    rows: eventRows,
  },
  {
    name: 'texture',
    columns: () => ['bar', 'parts', 'lines', 'families', 'levelDb', 'onsets', 'sounding'],
    rows: ({ readings }) =>
      (readings.pacing?.bars ?? []).map((bar) => [
        bar.bar,
        bar.partIds.length,
        bar.lines,
        bar.families.join(' '),
        roundedDb(bar.levelDb),
        bar.onsets,
        bar.partIds.join(' '),
      ]),
  },
  {
    name: 'sections',
    columns: () => [
      'name',
      'from',
      'to',
      'seconds',
      'meanParts',
      'meanLines',
      'onsetsPerSecond',
      'levelDb',
      'lowMidi',
      'highMidi',
      'sharedParts',
      'levelChangeDb',
      'paceRatio',
    ],
    rows: ({ readings }) =>
      (readings.pacing?.sections ?? []).map((section) => [
        section.name,
        section.from,
        section.to,
        seconds(section.seconds),
        rounded(section.parts, 3),
        rounded(section.lines, 3),
        rounded(section.onsetsPerSecond, 3),
        roundedDb(section.levelDb),
        section.low,
        section.high,
        section.contrast === undefined ? undefined : rounded(section.contrast.sharedParts, 4),
        roundedDb(section.contrast?.levelChangeDb),
        section.contrast?.paceRatio === undefined ? undefined : rounded(section.contrast.paceRatio, 3),
      ]),
  },
];
