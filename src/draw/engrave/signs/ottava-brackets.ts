/** Draws 8va and 8vb with their broken lines. */
import type { DrawnVoice } from './draw-notes.ts';
import { requiredGlyph } from '../ink/glyph-table.ts';
import { addBox, bottomOf, topOf } from '../ink/ink.ts';
import type { OttavaMap } from '../accidentals-beams-rests/ottava.ts';
import type { Sheet } from '../ink/sheet.ts';
import { drawGlyph, point, strokeQuietly } from '../ink/sheet.ts';
import { tenths } from '../ink/tenths.ts';

const SIGNS = { 1: '\uE511', [-1]: '\uE51C' } as const;
const SCALE = 0.7;
const LINE_PX = 1.1;
const DASH_PX = 5;
const DASH_STEP_PX = 9;
const HOOK_PX = 9;

interface Span {
  readonly octaves: 1 | -1;
  readonly left: number;
  right: number;
  /** It goes on in the next line. */
  open: boolean;
}

function spansOf(voices: readonly DrawnVoice[], ottava: OttavaMap): Span[] {
  const notes = voices
    .flatMap((voice) => voice.events)
    .filter(({ prepared: { shape } }) => shape !== undefined && shape.rest === undefined)
    .sort((a, b) => a.prepared.event.start - b.prepared.event.start);
  const spans: Span[] = [];
  let current: Span | undefined;
  for (const { prepared, x } of notes) {
    const octaves = ottava.get(prepared.event);
    const { shape } = prepared;
    const right = x + (shape?.rest === undefined ? (shape?.headPx ?? 12) : 12);
    if (octaves === undefined) current = undefined;
    else if (current?.octaves === octaves) current.right = Math.max(current.right, right);
    else {
      current = { octaves, left: x - 4, right, open: false };
      spans.push(current);
    }
  }
  if (current !== undefined) current.open = true;
  return spans;
}

/**
 * Draws the brackets of a staff clear of what stands there. The sign is repeated at the head of a line; the line ends with
 * a hook over its last note (E. Gould, Behind Bars, from memory). `goesOn`: the first note of the next line has the sign too.
 */
export function drawOttavas(
  sheet: Sheet,
  voices: readonly DrawnVoice[],
  ottava: OttavaMap,
  lineEnd: number,
  goesOn: (octaves: 1 | -1) => boolean,
): void {
  if (ottava.size === 0) return;
  for (const span of spansOf(voices, ottava)) {
    const glyph = SIGNS[span.octaves];
    const { record } = requiredGlyph(glyph);
    const open = span.open && goesOn(span.octaves);
    const signEnd = span.left + record.advance * SCALE + 4;
    const right = Math.max(signEnd + 6, open ? lineEnd - 3 : span.right + 3);
    const height = -record.top * SCALE;
    const above = span.octaves === 1;
    const base = above
      ? Math.min(-8, topOf(sheet.ink, span.left, right) - 6)
      : Math.max(48, bottomOf(sheet.ink, span.left, right) + 6) + height;
    drawGlyph(sheet, glyph, span.left, base, SCALE);
    const y = above ? base - height + 1 : base - 1;
    let path = '';
    for (let x = signEnd; x < right; x += DASH_STEP_PX)
      path += `M${point(x, y)}H${tenths(Math.min(right, x + DASH_PX))}`;
    if (!open) path += `M${point(right, y)}V${tenths(y + (above ? HOOK_PX : -HOOK_PX))}`;
    strokeQuietly(sheet, path, LINE_PX);
    addBox(sheet.ink, span.left, right, Math.min(y, base - height), Math.max(base, y));
  }
}
