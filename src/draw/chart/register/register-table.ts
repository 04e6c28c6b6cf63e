/** Numbers of the register chart. */
import type { Stage } from '../../../model/music/arrangement.ts';
import type { DataTable, DrawingTable } from '../../../model/drawing.ts';
import { FAMILIES, familyName } from '../family-colours/families.ts';
import { tableName, type Front } from '../frame/front.ts';
import type { RegisterBook } from './register-scale.ts';
import { midiLabel, spanLabel } from '../../ruler/wording.ts';

/** More columns than this do not fit a page; the table then gives families instead of parts. */
const MOST_PART_COLUMNS = 14;

const EMPTY = '\u2013';

/** A row a bar, a column a part: lowest to highest note and, in brackets, the mean pitch. */
export function registerTable(stage: Stage, book: RegisterBook, front: Front): DrawingTable {
  if (book.parts.length > MOST_PART_COLUMNS) return familyTable(stage, book, front);
  return {
    caption: 'Lowest to highest sounding pitch in each bar; in brackets the mean pitch, weighted by duration.',
    columns: [
      { label: 'Bar', numeric: true },
      ...book.parts.map((part) => ({ label: tableName(part), numeric: false })),
    ],
    rows: stage.timeline.bars.map((bar) => [
      String(bar.number),
      ...book.parts.map((part) => {
        const reading = book.readingAt(part.id, bar.number);
        if (reading === undefined) return EMPTY;
        const span = spanLabel(reading.low, reading.high);
        return reading.low === reading.high ? span : `${span} (${midiLabel(reading.centre)})`;
      }),
    ]),
  };
}

function familyTable(stage: Stage, book: RegisterBook, front: Front): DrawingTable {
  const background = FAMILIES.map((family) => ({
    label: familyName(family),
    parts: book.parts.filter((part) => part.family === family),
  })).filter((group) => group.parts.length > 0);
  return {
    caption:
      'Lowest to highest sounding pitch in each bar, by family; the foreground has a column of its own. The CSV table gives every part.',
    columns: [
      { label: 'Bar', numeric: true },
      { label: 'Foreground', numeric: false },
      ...background.map((group) => ({ label: group.label, numeric: false })),
    ],
    rows: stage.timeline.bars.map((bar) => {
      const span = book.frontAt(bar.number);
      return [
        String(bar.number),
        span === undefined ? EMPTY : spanLabel(span.low, span.high),
        ...background.map((group) => {
          const readings = group.parts
            .filter((part) => !front.isFront(part.id, bar.number))
            .flatMap((part) => book.readingAt(part.id, bar.number) ?? []);
          if (readings.length === 0) return EMPTY;
          return spanLabel(Math.min(...readings.map(({ low }) => low)), Math.max(...readings.map(({ high }) => high)));
        }),
      ];
    }),
  };
}

/** A row for every part and bar, unrounded, key numbers of MIDI. */
export function registerData(book: RegisterBook): DataTable {
  return {
    columns: ['part', 'name', 'bar', 'low', 'high', 'centre'],
    rows: book.parts.flatMap((part) =>
      book
        .readingsOf(part.id)
        .map((reading) => [part.id, part.name, reading.bar, reading.low, reading.high, reading.centre]),
    ),
  };
}
