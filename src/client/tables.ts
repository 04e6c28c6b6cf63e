/** Sorting and filtering of tables, with buttons and a field that exist only where the script runs. */
import { button, element } from './elements.ts';
import { all } from './feature.ts';

const FEWEST_ROWS_TO_SORT = 3;
const FEWEST_ROWS_TO_FILTER = 12;

function cellText(row: HTMLTableRowElement, column: number): string {
  return (row.cells[column]?.textContent ?? '').trim();
}

/** The number a cell begins with; a real minus sign counts, and a cell without a number comes last. */
function cellNumber(row: HTMLTableRowElement, column: number): number {
  const match = /[-\u2212]?\d+(?:\.\d+)?/.exec(cellText(row, column));
  return match === null ? Number.POSITIVE_INFINITY : Number(match[0].replace('\u2212', '-'));
}

/** Made once: a comparison that makes its own is a hundred times as dear. */
const WORDS = new Intl.Collator('en', { numeric: true });

/** Rows in the order of a column; those without a number come last either way. */
function sortedRows(
  rows: readonly HTMLTableRowElement[],
  column: number,
  isNumeric: boolean,
  sign: 1 | -1,
): readonly HTMLTableRowElement[] {
  if (!isNumeric)
    return rows
      .map((row) => ({ row, text: cellText(row, column) }))
      .sort((a, b) => sign * WORDS.compare(a.text, b.text))
      .map(({ row }) => row);
  return rows
    .map((row) => ({ row, number: cellNumber(row, column) }))
    .sort(({ number: a }, { number: b }) => {
      if (a === b) return 0;
      return Number.isFinite(a) && Number.isFinite(b) ? sign * (a - b) : a - b > 0 ? 1 : -1;
    })
    .map(({ row }) => row);
}

function installSorting(table: HTMLTableElement, rows: readonly HTMLTableRowElement[]): void {
  const body = table.tBodies[0];
  const headers = all<HTMLTableCellElement>(table, 'thead th');
  headers.forEach((header, column) => {
    // A column of pictures has no order.
    if (rows.every((row) => cellText(row, column) === '')) return;
    const isNumeric = header.classList.contains('num');
    const word = button('', 'sort');
    word.append(...header.childNodes);
    header.append(word);
    word.addEventListener('click', () => {
      const direction = header.getAttribute('aria-sort') === 'ascending' ? 'descending' : 'ascending';
      for (const other of headers) other.removeAttribute('aria-sort');
      header.setAttribute('aria-sort', direction);
      body?.append(...sortedRows(rows, column, isNumeric, direction === 'ascending' ? 1 : -1));
    });
  });
}

function installFilter(table: HTMLTableElement, rows: readonly HTMLTableRowElement[]): void {
  const field = element('input', '');
  const count = element('span', '');
  field.type = 'search';
  count.setAttribute('role', 'status');
  table.closest('.scroll')?.before(element('label', 'filter', 'Show rows with', field, count));
  const texts = rows.map((row) => row.textContent.toLowerCase());
  field.addEventListener('input', () => {
    const wanted = field.value.toLowerCase().match(/\S+/g) ?? [];
    let shown = 0;
    rows.forEach((row, index) => {
      const matches = wanted.every((word) => texts[index]?.includes(word) ?? true);
      row.hidden = !matches;
      if (matches) shown += 1;
    });
    count.textContent = wanted.length === 0 ? '' : `${String(shown)} of ${String(rows.length)} rows`;
  });
}

export function installTables(): void {
  for (const table of all<HTMLTableElement>(document, 'table.numbers-table:not(.is-fixed)')) {
    const rows = [...(table.tBodies[0]?.rows ?? [])];
    if (rows.length >= FEWEST_ROWS_TO_SORT) installSorting(table, rows);
    if (rows.length >= FEWEST_ROWS_TO_FILTER) installFilter(table, rows);
  }
}
