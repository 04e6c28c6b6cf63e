/** Rests of a whole bar, and of many bars together. */
import type { ScoreBar } from '../../../model/music/written.ts';
import { requiredGlyph } from '../ink/glyph-table.ts';
import type { Sheet } from '../ink/sheet.ts';
import { drawGlyph, fillBox } from '../ink/sheet.ts';

/** A whole rest, whatever the meter; from the length of two whole notes on a double whole rest (Gould, from memory). */
const WHOLE_REST = '\uE4E3';
const DOUBLE_WHOLE_REST = '\uE4E2';
const DOUBLE_WHOLE_DIVISIONS = 3840;

/** Draws the rest of a bar in the middle between its first place and its bar line; `y` is the line that it hangs from. */
export function drawWholeBarRest(sheet: Sheet, bar: ScoreBar, left: number, right: number, y: number): void {
  const glyph = bar.lengthDivisions >= DOUBLE_WHOLE_DIVISIONS ? DOUBLE_WHOLE_REST : WHOLE_REST;
  const width = requiredGlyph(glyph).record.advance;
  const x = (left + right - width) / 2;
  drawGlyph(sheet, glyph, x, glyph === WHOLE_REST ? y : y + 10);
}

/** Springs of a rest of many bars, in pixels. */
export const LONG_REST = { least: 84, ideal: 110 };

/**
 * A rest of many bars: a thick line on the middle line between two strokes, the number of bars above the staff in the
 * figures of a meter (E. Gould, Behind Bars, from memory). In a score the number stands over the top staff only.
 */
export function drawLongRest(sheet: Sheet, count: number, left: number, right: number, numbered: boolean): void {
  const [from, to] = [left + 2, right - 12];
  fillBox(sheet, from, 16, to - from, 8);
  fillBox(sheet, from - 1.6, 10, 1.6, 20);
  fillBox(sheet, to, 10, 1.6, 20);
  if (!numbered) return;
  const digits = Array.from(String(count), (digit) => String.fromCodePoint(0xe080 + Number(digit)));
  const width = digits.reduce((sum, digit) => sum + requiredGlyph(digit).record.advance, 0);
  let x = (from + to - width) / 2;
  for (const digit of digits) x += drawGlyph(sheet, digit, x, -15);
}
