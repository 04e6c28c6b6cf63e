/** Chord symbols and numerals over the ruler: in a few rows, each where there is room, left out where there is none. */
import { textElement } from '../../svg.ts';
import type { RulerLine } from '../../ruler/ruler.ts';

export interface PlacedLabel {
  readonly x: number;
  readonly text: string;
}

/** Mean width of a character as a share of the size of the type, and room between two labels. */
const CHARACTER_SHARE = 0.62;
const ROOM = 5;

/** Labels in the first of `rows` rows in which they do not run into the one before; what finds no room is left out. */
export function rowsOfLabels(
  labels: readonly PlacedLabel[],
  line: RulerLine,
  {
    top,
    rows,
    rowHeight,
    size,
    className,
  }: { top: number; rows: number; rowHeight: number; size: number; className: string },
): { readonly markup: string; readonly leftOut: number } {
  const freeFrom = Array.from({ length: rows }, () => Number.NEGATIVE_INFINITY);
  let markup = '';
  let leftOut = 0;
  for (const { x, text } of labels) {
    const row = freeFrom.findIndex((free) => x >= free);
    const width = Array.from(text).length * size * CHARACTER_SHARE;
    if (row < 0 || x + width > line.right + 70) {
      leftOut++;
      continue;
    }
    freeFrom[row] = x + width + ROOM;
    markup += textElement(text, { class: className, x: x + 1, y: top + (row + 1) * rowHeight - 2 });
  }
  return { markup, leftOut };
}
