/** Small clefs inside a bar. */
import type { StaffBar } from '../../../model/music/written.ts';
import type { HeadSign } from '../accidentals-beams-rests/clef-signs.ts';
import { clefSign } from '../accidentals-beams-rests/clef-signs.ts';
import type { Extent } from './columns.ts';
import { momentIndex } from './columns.ts';
import { SMALL_CLEF_SCALE, smallClefPx } from './heads.ts';
import type { Sheet } from '../ink/sheet.ts';
import { drawGlyph } from '../ink/sheet.ts';

export interface PlacedClef {
  readonly sign: HeadSign;
  readonly column: number;
  /** Left edge, from the edge of the column. */
  readonly xPx: number;
}

/** Between the clef and the first ink of the notes after it, and before the clef. */
const AFTER_PX = 6;
const BEFORE_PX = 2;

/**
 * Places the clefs that change inside a bar before the notes of their moment, accidentals and small notes included (E. Gould, Behind
 * Bars, from memory: a change of clef is smaller and stands right before its note), and makes room for them in `extents`.
 */
export function placeClefs(
  { clefChanges = [] }: StaffBar,
  moments: readonly number[],
  extents: Map<number, Extent>,
): readonly PlacedClef[] {
  return clefChanges.map(({ start, clef }) => {
    const column = momentIndex(moments, start);
    const sign = clefSign(clef);
    const { leftPx, rightPx } = extents.get(column) ?? { leftPx: 0, rightPx: 0 };
    const left = leftPx + AFTER_PX + smallClefPx(sign);
    extents.set(column, { leftPx: left + BEFORE_PX, rightPx });
    return { sign, column, xPx: -left };
  });
}

export function drawClefs(sheet: Sheet, clefs: readonly PlacedClef[], columnXs: readonly number[]): void {
  for (const { sign, column, xPx } of clefs) {
    drawGlyph(sheet, sign.glyph, (columnXs[column] ?? 0) + xPx, sign.y, SMALL_CLEF_SCALE);
  }
}
