/** Sorting and filtering of tables, with buttons and a field that exist only where the script runs. */
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

function installSorting(table: HTMLTableElement, rows: readonly HTMLTableRowElement[]): void {
  const body = table.tBodies[0];
  const headers = all<HTMLTableCellElement>(table, 'thead th');
  headers.forEach((header, column) => {
    const isNumeric = header.classList.contains('is-numeric');
    const button = document.createElement('button');
    button.type = 'button';
    button.className = 'sort';
    button.append(...header.childNodes);
    header.append(button);
    button.addEventListener('click', () => {
      const direction = header.getAttribute('aria-sort') === 'ascending' ? 'descending' : 'ascending';
      for (const other of headers) other.removeAttribute('aria-sort');
      header.setAttribute('aria-sort', direction);
      const sign = direction === 'ascending' ? 1 : -1;
      const sorted = [...rows].sort((a, b) => {
        if (!isNumeric) return sign * cellText(a, column).localeCompare(cellText(b, column), 'en', { numeric: true });
        const [first, second] = [cellNumber(a, column), cellNumber(b, column)];
        if (first === second) return 0;
        if (!Number.isFinite(first) || !Number.isFinite(second)) return first - second > 0 ? 1 : -1;
        return sign * (first - second);
      });
      body?.append(...sorted);
    });
  });
}

function installFilter(table: HTMLTableElement, rows: readonly HTMLTableRowElement[]): void {
  const label = document.createElement('label');
  const field = document.createElement('input');
  const count = document.createElement('span');
  label.className = 'filter';
  field.type = 'search';
  count.setAttribute('role', 'status');
  label.append('Show rows with', field, count);
  table.closest('.scroll')?.before(label);
  const texts = rows.map((row) => row.textContent.toLowerCase());
  field.addEventListener('input', () => {
    const wanted = field.value.trim().toLowerCase();
    let shown = 0;
    rows.forEach((row, index) => {
      const matches = texts[index]?.includes(wanted) ?? true;
      row.hidden = !matches;
      if (matches) shown += 1;
    });
    count.textContent = wanted === '' ? '' : `${String(shown)} of ${String(rows.length)} rows`;
  });
}

export function installTables(): void {
  for (const table of all<HTMLTableElement>(document, 'table.numbers-table:not(.is-fixed)')) {
    const rows = [...(table.tBodies[0]?.rows ?? [])];
    if (rows.length >= FEWEST_ROWS_TO_SORT) installSorting(table, rows);
    if (rows.length >= FEWEST_ROWS_TO_FILTER) installFilter(table, rows);
  }
}
