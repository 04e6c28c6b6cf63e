import { describe, expect, it } from 'vitest';
import { csvText } from '../../src/publish/data/csv.ts';
import { csvFiles } from '../../src/publish/data/csv-tables.ts';
import { smallDossier } from '../support/published.ts';

/** A strict reader of RFC 4180 section 2, written from its grammar, to read back what was written. */
function readCsv(text: string): string[][] {
  const rows: string[][] = [[]];
  let position = 0;
  while (position < text.length) {
    let field = '';
    if (text[position] === '"') {
      position += 1;
      while (!(text[position] === '"' && text[position + 1] !== '"')) {
        if (text[position] === '"') position += 1;
        field += text[position] ?? '';
        position += 1;
      }
      position += 1;
    } else {
      while (position < text.length && text[position] !== ',' && !text.startsWith('\r\n', position)) {
        if (text[position] === '"' || text[position] === '\n') throw new Error('a bare quote or line feed');
        field += text[position] ?? '';
        position += 1;
      }
    }
    rows.at(-1)!.push(field);
    if (text[position] === ',') position += 1;
    else if (text.startsWith('\r\n', position)) {
      position += 2;
      if (position < text.length) rows.push([]);
    } else if (position < text.length) throw new Error('neither comma nor line end after a field');
  }
  return rows;
}

describe('a table as CSV', () => {
  it('quotes commas, quotes and line ends as RFC 4180 has it, and ends every row with CRLF', () => {
    // RFC 4180, section 2, rules 1, 6 and 7: "aaa","b CRLF bb","ccc" and "aaa","b""bb","ccc".
    expect(csvText(['a', 'b'], [['b\r\nbb', 'b"bb']])).toBe('a,b\r\n"b\r\nbb","b""bb"\r\n');
  });

  it('comes back as it was by a strict reader', () => {
    const rows = [['plain', 'with, comma', 'with "quotes"', 'two\nlines', '', 'Übung']];
    expect(readCsv(csvText(['1', '2', '3', '4', '5', '6'], rows)).slice(1)).toEqual(rows);
  });

  it.each(['=cmd()', '+1', '-1', '@SUM(A1)', ' =1', '\t=1', '\r=1'])(
    'puts an apostrophe before the text %j, which a spreadsheet would run',
    (text) => {
      expect(readCsv(csvText(['name'], [[text]]))[1]).toEqual([`'${text}`]);
    },
  );

  it('leaves numbers as they are, negative ones too, and missing ones empty', () => {
    expect(csvText(['db'], [[-3.5], [0], [null], [undefined], [Number.NEGATIVE_INFINITY]])).toBe(
      'db\r\n-3.5\r\n0\r\n\r\n\r\n\r\n',
    );
  });
});

describe('every table of a dossier', () => {
  it('begins with a byte order mark, so that a spreadsheet reads the names of parts as UTF-8', () => {
    for (const { path, content } of csvFiles(smallDossier().stages[0]!)) {
      expect([...new TextEncoder().encode(content()).slice(0, 3)], path).toEqual([0xef, 0xbb, 0xbf]);
    }
  });
});
