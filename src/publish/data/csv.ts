/** Tables as CSV text. */
import type { PublishedStage } from '../dossier-input.ts';

/** A cell: text, a number, or nothing. */
export type CsvCell = string | number | null | undefined;

/** A table that every stage has a file of. */
export interface CsvTable {
  readonly name: string;
  readonly columns: (published: PublishedStage) => readonly string[];
  readonly rows: (published: PublishedStage) => readonly (readonly CsvCell[])[];
}

/**
 * One table as CSV by RFC 4180: CRLF line ends, cells with comma, quote or line end in quotes, quotes doubled. Text
 * that a spreadsheet would take for a formula (it begins with = + - @, a tab or a carriage return, also after blanks)
 * gets a leading apostrophe; numbers stay as they are.
 */
export function csvText(columns: readonly string[], rows: readonly (readonly CsvCell[])[]): string {
  return [columns, ...rows].map((row) => row.map(csvCell).join(',')).join('\r\n') + '\r\n';
}

function csvCell(content: CsvCell): string {
  if (content === null || content === undefined) return '';
  if (typeof content === 'number') return Number.isFinite(content) ? String(content) : '';
  const guarded = /^\s*[=+\-@\t\r]/.test(content) ? `'${content}` : content;
  return /[",\r\n]/.test(guarded) ? `"${guarded.replaceAll('"', '""')}"` : guarded;
}
