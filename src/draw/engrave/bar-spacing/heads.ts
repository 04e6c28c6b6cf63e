/** What stands at the head of a bar: clefs, key signatures, meters, in columns that all staves share. */
import type { Clef } from '../../../model/music/instrument.ts';
import { lastClef } from '../../../model/music/staff-clefs.ts';
import type { Meter } from '../../../model/music/timeline.ts';
import type { ScoreBar } from '../../../model/music/written.ts';
import type { HeadSign } from '../accidentals-beams-rests/clef-signs.ts';
import { clefSign, fifthsOf, signatureSigns } from '../accidentals-beams-rests/clef-signs.ts';
import { requiredGlyph } from '../ink/glyph-table.ts';
import type { Sheet } from '../ink/sheet.ts';
import { drawGlyph } from '../ink/sheet.ts';

interface PlacedSign extends HeadSign {
  readonly x: number;
}

interface HeadColumn {
  readonly signs: readonly (readonly PlacedSign[])[];
  readonly widthPx: number;
}

export interface Head {
  readonly columns: readonly HeadColumn[];
  readonly widthPx: number;
}

const COLUMN_GAP_PX = 9;
export const SMALL_CLEF_SCALE = 2 / 3;

function advanceOf(sign: HeadSign): number {
  return requiredGlyph(sign.glyph).record.advance;
}

function inARow(signs: readonly HeadSign[], between: number): readonly PlacedSign[] {
  let x = 0;
  return signs.map((sign) => {
    const placed = { ...sign, x };
    x += advanceOf(sign) + between;
    return placed;
  });
}

function digits(number: number, y: number): readonly PlacedSign[] {
  const glyphs = Array.from(String(number), (digit) => ({ glyph: String.fromCodePoint(0xe080 + Number(digit)), y }));
  return inARow(glyphs, 0);
}

function rightEdge(signs: readonly PlacedSign[]): number {
  return Math.max(0, ...signs.map((sign) => sign.x + advanceOf(sign)));
}

function meterSigns(meter: Meter): readonly PlacedSign[] {
  const above = digits(meter.numerator, 10);
  const below = digits(meter.denominator, 30);
  const width = Math.max(rightEdge(above), rightEdge(below));
  const centred = (signs: readonly PlacedSign[]): PlacedSign[] =>
    signs.map((sign) => ({ ...sign, x: sign.x + (width - rightEdge(signs)) / 2 }));
  return [...centred(above), ...centred(below)];
}

function headOf(columns: readonly (readonly (readonly PlacedSign[])[])[]): Head {
  const kept = columns
    .map((signs) => ({ signs, widthPx: Math.max(0, ...signs.map(rightEdge)) }))
    .filter((column) => column.widthPx > 0);
  return { columns: kept, widthPx: kept.reduce((sum, column) => sum + column.widthPx + COLUMN_GAP_PX, 0) };
}

/** Signatures of all staves; `changes`: only where they change, with what is cancelled. */
function keyColumn(bar: ScoreBar, changes: boolean): readonly (readonly PlacedSign[])[] {
  return bar.staves.map((staff, index) => {
    const before = staff.fifths === undefined ? bar.changedFromFifths : staff.changedFromFifths;
    if (changes && before === undefined) return [];
    return inARow(signatureSigns(fifthsOf(bar, index), staff.clef, changes ? before : undefined), 0.6);
  });
}

function clefsOf(bar: ScoreBar): readonly Clef[] {
  return bar.staves.map((staff) => staff.clef);
}

/** What `make` gives for a bar, made once: lines are broken, laid out and drawn with the same heads. */
function oncePerBar(make: (bar: ScoreBar) => Head): (bar: ScoreBar) => Head {
  const known = new WeakMap<ScoreBar, Head>();
  return (bar) => {
    let head = known.get(bar);
    if (head === undefined) {
      head = make(bar);
      known.set(bar, head);
    }
    return head;
  };
}

/** Head of the first bar of a line. What a new signature cancels was shown at the end of the line before. */
export const lineHead = oncePerBar((bar) => {
  const clefs = clefsOf(bar);
  return headOf([
    clefs.map((clef) => inARow([clefSign(clef)], 0)),
    keyColumn(bar, false),
    bar.showMeter ? clefs.map(() => meterSigns(bar.meter)) : [],
  ]);
});

/** Head of a bar within a line, and the courtesy after the last bar of the line before: changes only. */
export const changeHead = oncePerBar((bar) => {
  const clefs = clefsOf(bar);
  return headOf([keyColumn(bar, true), bar.showMeter ? clefs.map(() => meterSigns(bar.meter)) : []]);
});

/** Draws a head from `x` on; there is one sheet for each staff. */
export function drawHead(sheets: readonly Sheet[], head: Head, x: number): void {
  let left = x;
  for (const column of head.columns) {
    left += COLUMN_GAP_PX;
    column.signs.forEach((signs, staffIndex) => {
      const sheet = sheets[staffIndex];
      if (sheet === undefined) return;
      for (const sign of signs) drawGlyph(sheet, sign.glyph, left + sign.x, sign.y);
    });
    left += column.widthPx;
  }
}

/** Small clefs that stand before the bar line where the next bar has another clef: one for each staff, or undefined. */
export function clefChanges(bar: ScoreBar, next: ScoreBar | undefined): readonly (HeadSign | undefined)[] {
  return bar.staves.map((staff, index) => {
    const following = next?.staves[index]?.clef;
    if (following === undefined || following === lastClef(staff)) return undefined;
    return clefSign(following);
  });
}

/** Room of a small clef. */
export function smallClefPx(sign: HeadSign): number {
  return advanceOf(sign) * SMALL_CLEF_SCALE;
}

/** Room for small clefs before the bar line; 0 where there are none. */
export function clefChangeWidth(changes: readonly (HeadSign | undefined)[]): number {
  const widths = changes.flatMap((sign) => (sign === undefined ? [] : [smallClefPx(sign)]));
  return widths.length === 0 ? 0 : Math.max(...widths) + 6;
}
