/** The page of a stage's numbers: every table behind a chart, out of the way of those who read, one link from the chart. */
import type { DossierInput } from '../../dossier-input.ts';
import {
  barLink,
  cell,
  firstRows,
  type Link,
  type LinkedTable,
  type NumberTable,
  type Run,
  type SheetSection,
} from '../page-frame/sheet.ts';
import { chartNamed } from '../../data/chart-names.ts';
import { stageFileName, wholeTable, type StageContext } from '../page-frame/stage-context.ts';

/** File name of the page of a stage's numbers. */
export function numbersFileName(stages: readonly { readonly stage: { readonly id: string } }[], index: number): string {
  return index === stages.length - 1 ? 'numbers.html' : `${stages[index]?.stage.id ?? ''}-numbers.html`;
}

function tableId(section: string, { id }: Pick<NumberTable, 'id'>): string {
  return `${section}-${id}`;
}

/** The link from a section to one of its tables. */
export function numbersLink(context: StageContext, section: string, table: NumberTable): Link {
  return {
    href: `${numbersFileName(context.stages, context.index)}#${tableId(section, table)}`,
    label: table.table.caption,
  };
}

/** Those that have rows, with what is said before them. */
export function tablesWithRows(
  tables: readonly (Pick<NumberTable, 'id' | 'table'> & Partial<NumberTable>)[],
): readonly NumberTable[] {
  return tables.filter(({ table }) => table.rows.length > 0).map((one) => ({ intro: [], points: [], ...one }));
}

/** The table of a subject's chart, its bars as links; undefined where there is no such chart. `fileName` is the CSV table with the rest of a long one. */
export function chartTable(context: StageContext, chartName: string, fileName: string): LinkedTable | undefined {
  const chart = chartNamed(context.published, chartName);
  if (chart === undefined) return undefined;
  const { caption, columns, rows } = chart.table;
  const bars = new Set(context.published.stage.timeline.bars.map(({ number }) => String(number)));
  const shown = firstRows(rows, wholeTable(context, fileName));
  return {
    caption,
    columns: columns.map(({ label, numeric }) => ({ label, isNumeric: numeric })),
    rows: shown.rows.map((row) =>
      row.map((text, column) =>
        columns[column]?.label === 'Bar' && bars.has(text) ? [barLink(Number(text), text)] : cell(text),
      ),
    ),
    remark: shown.remark,
  };
}

/** Links of a table that was made for the stage's own page, as they are on another. */
function fromElsewhere(table: LinkedTable, page: string): LinkedTable {
  const moved = (run: Run): Run => (run.href.startsWith('#') ? { ...run, href: `${page}${run.href}` } : run);
  return { ...table, rows: table.rows.map((row) => row.map((runs) => runs.map(moved))) };
}

/** One section of numbers for each section of the stage that has any; one that says so where none has. */
export function numbersSections(
  input: Pick<DossierInput, 'stages'>,
  index: number,
  sections: readonly SheetSection[],
): readonly SheetSection[] {
  const page = stageFileName(input.stages, index);
  const shown = sections.flatMap((section): SheetSection[] => {
    const { id, heading, downloads, numbers = [] } = section;
    if (numbers.length === 0) return [];
    const tables = numbers.map((one) => ({
      ...one,
      id: tableId(id, one),
      table: fromElsewhere(one.table, page),
    }));
    return [
      {
        id: `numbers-${id}`,
        heading,
        partial: 'numbers.njk',
        downloads,
        body: { tables, back: { href: `${page}#${id}`, label: `${heading}: the chart` } },
      },
    ];
  });
  if (shown.length > 0) return shown;
  return [
    {
      id: 'numbers-none',
      heading: 'No numbers',
      partial: 'sentences.njk',
      downloads: [],
      body: { sentences: ['There are no numbers to show: no part of this stage has a note.'] },
    },
  ];
}
