/**
 * Staccato dots: at the heads, centred over or under them, in the nearest space that no head fills, outside the ledger lines; of two voices on
 * one staff at the ends of the stems, where they can be told apart (E. Gould, Behind Bars, on the placing of articulation, from memory).
 */
import type { DrawnEvent, DrawnVoice } from './draw-notes.ts';
import { requiredGlyph } from '../ink/glyph-table.ts';
import type { NoteShape } from '../bar-spacing/moment.ts';
import type { Sheet } from '../ink/sheet.ts';
import { drawGlyph } from '../ink/sheet.ts';

const ABOVE = '\uE4A2';
const BELOW = '\uE4A3';
const SPACE_PX = 10;
/** Clear of the end of a stem, to the middle of the dot. */
const BEYOND_STEM_PX = 6;
const TOP_SPACE_Y = -5;
const BOTTOM_SPACE_Y = 45;

/** Middle of the dot beyond a head, upwards (-1) or downwards (1): in a space while it is on the staff. */
function besideHead(headY: number, side: 1 | -1): number {
  const y = headY + side * SPACE_PX;
  const onStaff = y > TOP_SPACE_Y && y < BOTTOM_SPACE_Y;
  // A head on a line has the next space but one: half a space away the dot would touch it.
  return onStaff && y % SPACE_PX === 0 ? y + (side * SPACE_PX) / 2 : y;
}

/** Middle of the dot at the end of a stem; on the staff in a space. */
function besideStem(tipY: number, side: 1 | -1): number {
  const y = tipY + side * BEYOND_STEM_PX;
  if (y < TOP_SPACE_Y || y > BOTTOM_SPACE_Y) return y;
  const space = side === -1 ? Math.floor((y - 5) / SPACE_PX) : Math.ceil((y - 5) / SPACE_PX);
  return space * SPACE_PX + 5;
}

function centreOf(shape: NoteShape): number {
  // Heads on the wrong side of the stem do not count.
  const xs = shape.heads.map(({ x }) => x);
  const x = shape.up ? Math.min(...xs) : Math.max(...xs);
  return x + shape.headPx / 2;
}

/** Draws the dot of an event after its notes and beams. */
export function drawDot(sheet: Sheet, drawn: DrawnEvent, direction: DrawnVoice['direction']): void {
  const { shape } = drawn.prepared;
  if (shape === undefined || shape.rest !== undefined || shape.event.ornament?.staccato !== true) return;
  const ys = shape.heads.map(({ y }) => y);
  // The stems of two voices go away from each other.
  const isOfTwo = direction !== 0;
  const atStem = isOfTwo && drawn.tipY !== undefined && shape.stemX !== undefined;
  const side = shape.up === isOfTwo ? -1 : 1;
  const y = atStem ? besideStem(drawn.tipY, side) : besideHead(side === 1 ? Math.max(...ys) : Math.min(...ys), side);
  const x = atStem ? shape.stemX : centreOf(shape);
  const glyph = side === 1 ? BELOW : ABOVE;
  const { left, right, top, bottom } = requiredGlyph(glyph).record;
  drawGlyph(sheet, glyph, drawn.x + x - (left + right) / 2, y - (top + bottom) / 2);
}
