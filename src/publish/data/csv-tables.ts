/** The tables of a stage as CSV files, the same on every run, whatever the pages show. */
import { className, pitchName, plainSpelling } from '../../model/pitch.ts';
import { barAndBeat } from '../../model/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/written.ts';
import type { PublishedStage } from '../dossier-input.ts';
import { tablePath } from '../page-data/stage-context.ts';
import { partNamer } from '../sentences.ts';
import { csvText, type CsvCell } from './csv.ts';
import { rounded, roundedDb } from './rounding.ts';

interface CsvTable {
  readonly name: string;
  readonly columns: readonly string[];
  readonly rows: (published: PublishedStage) => readonly (readonly CsvCell[])[];
}

/** Name of a key number as it is spelled without a key: the exact spelling is in dossier.json. */
function keyName(midi: number): string {
  return pitchName(plainSpelling(midi));
}

const TABLES: readonly CsvTable[] = [
  {
    name: 'register',
    columns: ['part', 'name', 'bar', 'low_midi', 'low', 'high_midi', 'high', 'centre_midi'],
    rows: ({ stage, readings }) => {
      const name = partNamer(stage);
      return readings.register.map((item) => [
        item.partId,
        name(item.partId),
        item.bar,
        item.low,
        keyName(item.low),
        item.high,
        keyName(item.high),
        rounded(item.centre, 2),
      ]);
    },
  },
  {
    name: 'presence',
    columns: ['part', 'name', 'from_bar', 'to_bar', 'entry', 'exit', 'start_quarters', 'end_quarters'],
    rows: ({ stage, readings }) => {
      const name = partNamer(stage);
      return readings.presence.map((span) => [
        span.partId,
        name(span.partId),
        span.from,
        span.to,
        span.entry,
        span.exit,
        rounded(span.firstQuarters),
        rounded(span.lastQuarters),
      ]);
    },
  },
  {
    // One row a bar and part, so that the columns do not depend on the instrumentation; the totals stand in every row.
    name: 'balance',
    columns: ['bar', 'foreground_db', 'background_db', 'margin_db', 'covered_share', 'part', 'name', 'part_db'],
    rows: ({ stage, readings }) => {
      const name = partNamer(stage);
      return readings.balance.flatMap((bar): readonly (readonly CsvCell[])[] => {
        const totals: readonly CsvCell[] = [
          bar.bar,
          roundedDb(bar.foregroundDb),
          roundedDb(bar.backgroundDb),
          roundedDb(bar.marginDb),
          bar.coveredShare === undefined ? null : rounded(bar.coveredShare, 4),
        ];
        const parts = Object.entries(bar.partsDb);
        if (parts.length === 0) return [[...totals, null, null, null]];
        return parts.map(([partId, db]) => [...totals, partId, name(partId), roundedDb(db)]);
      });
    },
  },
  {
    name: 'ranges',
    columns: [
      'part',
      'name',
      'instrument',
      'low_midi',
      'high_midi',
      'written_low_midi',
      'written_high_midi',
      'usual_low_midi',
      'usual_high_midi',
      'possible_low_midi',
      'possible_high_midi',
      'notes_outside',
      'notes_at_edge',
      'sources',
    ],
    rows: ({ stage, readings }) => {
      const parts = new Map(stage.parts.map((part) => [part.id, part]));
      return readings.ranges.map((range) => [
        range.partId,
        parts.get(range.partId)?.name,
        parts.get(range.partId)?.instrumentName,
        range.low,
        range.high,
        range.writtenLow,
        range.writtenHigh,
        range.comfortable?.low,
        range.comfortable?.high,
        range.absolute?.low,
        range.absolute?.high,
        range.outside.length,
        range.edge.length,
        range.sources.join('; '),
      ]);
    },
  },
  {
    name: 'chords',
    columns: [
      'bar',
      'beat',
      'start_quarters',
      'length_quarters',
      'symbol',
      'root',
      'quality',
      'bass',
      'degree',
      'missing_pitch_classes',
    ],
    rows: ({ stage, written, readings }) => {
      const coverage = new Map(readings.coverage.map((item) => [item.chord, item]));
      return written.chords.map((chord, index) => [
        chord.bar,
        barAndBeat(stage.timeline.bars, chord.start / DIVISIONS_PER_QUARTER).beat,
        rounded(chord.start / DIVISIONS_PER_QUARTER),
        rounded(chord.length / DIVISIONS_PER_QUARTER),
        chord.symbol,
        className(chord.root),
        chord.quality,
        className(chord.bass),
        chord.roman,
        coverage.get(index)?.missing.join(' '),
      ]);
    },
  },
  {
    name: 'findings',
    columns: ['number', 'level', 'rule', 'from_bar', 'to_bar', 'parts', 'message', 'advice', 'source', 'accepted'],
    rows: ({ stage, findings }) => {
      const name = partNamer(stage);
      return findings.map((finding, index) => [
        index + 1,
        finding.level,
        finding.rule,
        finding.from,
        finding.to,
        finding.partIds.map(name).join('; '),
        finding.message,
        finding.advice,
        finding.source,
        finding.accepted,
      ]);
    },
  },
];

/** All CSV files of a stage, with their paths inside the output folder. */
export function csvFiles(published: PublishedStage): readonly { readonly path: string; readonly content: string }[] {
  return TABLES.map((table) => ({
    path: tablePath(published.stage.id, table.name),
    content: csvText(table.columns, table.rows(published)),
  }));
}
