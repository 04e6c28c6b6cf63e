/** A ring round a head that somebody asks to look at, and the head once more in the colour of the ring. */
import { requiredGlyph } from '../ink/glyph-table.ts';
import { addBox } from '../ink/ink.ts';
import type { Sheet } from '../ink/sheet.ts';
import { tenths } from '../ink/tenths.ts';

/** Clear of the head, and less than the distance to the next head but one of a chord. */
const RADIUS_PX = 11.5;
const LINE_PX = 2.4;

/** Rings the head whose left edge and middle height are given. */
export function drawRing(sheet: Sheet, glyph: string, x: number, y: number): void {
  const { id, record } = requiredGlyph(glyph);
  const middle = x + (record.left + record.right) / 2;
  const reach = RADIUS_PX + LINE_PX / 2;
  sheet.glyphs.add(id);
  sheet.marks.push(
    `<use href="#${id}" x="${tenths(x)}" y="${tenths(y)}"/>` +
      `<circle cx="${tenths(middle)}" cy="${tenths(y)}" r="${String(RADIUS_PX)}" fill="none" stroke="currentColor" stroke-width="${String(LINE_PX)}"/>`,
  );
  addBox(sheet.ink, middle - reach, middle + reach, y - reach, y + reach);
}
