/** The tables of a stage as CSV files, the same on every run, whatever the pages show. */
import { className } from '../../model/music/pitch.ts';
import { barAndBeat } from '../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import type { PublishedStage } from '../dossier-input.ts';
import { chartNamed, tablePath } from './chart-names.ts';
import { partNamer } from '../numbers-and-names.ts';
import { csvText, type CsvTable } from './csv.ts';
import { PACING_TABLES } from './pacing-tables.ts';
import { rounded } from './rounding.ts';
import { SPACING_TABLE } from './spacing-record.ts';

/** By this a spreadsheet knows that a file is UTF-8 (The Unicode Standard, 23.8), and shows the names of parts as they are. */
const BYTE_ORDER_MARK = '\uFEFF';

/** The numbers of a chart, unrounded but for the sixth decimal. */
function chartTable(name: string, chartName: string): CsvTable {
  return {
    name,
    columns: (published) => chartNamed(published, chartName)?.csv.columns ?? [],
    rows: (published) =>
      (chartNamed(published, chartName)?.csv.rows ?? []).map((row) =>
        row.map((item) => (typeof item === 'number' ? rounded(item) : item)),
      ),
  };
}

const TABLES: readonly CsvTable[] = [
  chartTable('register', 'register'),
  SPACING_TABLE,
  chartTable('presence', 'entries'),
  chartTable('balance', 'balance'),
  ...PACING_TABLES,
  {
    name: 'ranges',
    columns: () => [
      'part',
      'name',
      'instrument',
      'lowMidi',
      'highMidi',
      'writtenLowMidi',
      'writtenHighMidi',
      'practicalLowMidi',
      'practicalHighMidi',
      'extremeLowMidi',
      'extremeHighMidi',
      'notesOutOfRange',
      'notesInExtremeRange',
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
        range.practical?.low,
        range.practical?.high,
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
    columns: () => [
      'bar',
      'beat',
      'startQuarters',
      'lengthQuarters',
      'symbol',
      'root',
      'quality',
      'bass',
      'numeral',
      'key',
      'inversion',
      'missingPitchClasses',
      'missingWithoutForeground',
      'bassParts',
      'handover',
    ],
    rows: ({ stage, written, readings }) => {
      const coverage = new Map(readings.coverage.map((item) => [item.chord, item]));
      const grounds = new Map((readings.grounds ?? []).map((item) => [item.chord, item]));
      const name = partNamer(stage);
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
        chord.key === undefined ? '' : `${className(chord.key.tonic)} ${chord.key.modal ?? chord.key.mode}`,
        chord.inversion ?? 0,
        coverage.get(index)?.missing.join(' '),
        grounds.get(index)?.missingWithoutForeground.join(' '),
        grounds.get(index)?.bassPartIds.map(name).join('; '),
        grounds.get(index)?.handover === true ? 1 : 0,
      ]);
    },
  },
  {
    name: 'foreign-notes',
    columns: () => ['bar', 'beat', 'startQuarters', 'lengthQuarters', 'part', 'midi', 'chord', 'kind'],
    rows: ({ stage, written, readings }) => {
      const name = partNamer(stage);
      return (readings.nonChordTones ?? []).map((tone) => [
        tone.bar,
        barAndBeat(stage.timeline.bars, tone.startQuarters).beat,
        rounded(tone.startQuarters),
        rounded(tone.lengthQuarters),
        name(tone.partId),
        tone.midi,
        written.chords[tone.chord]?.symbol ?? '',
        tone.kind,
      ]);
    },
  },
  {
    name: 'findings',
    columns: () => ['number', 'level', 'rule', 'fromBar', 'toBar', 'parts', 'message', 'advice', 'source', 'accepted'],
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

/** Names of the tables that every stage has. */
export const TABLE_NAMES: readonly string[] = TABLES.map(({ name }) => name);

/** All CSV files of a stage, with their paths inside the output folder. */
export function csvFiles(
  published: PublishedStage,
): readonly { readonly path: string; readonly content: () => string }[] {
  return TABLES.map((table) => ({
    path: tablePath(published.stage.id, table.name),
    content: () => BYTE_ORDER_MARK + csvText(table.columns(published), table.rows(published)),
  }));
}
