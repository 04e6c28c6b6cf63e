/** Draws small notes, rolled chords, trills and tremolos (E. Gould, Behind Bars, from memory). */
import type { DrawnEvent } from './draw-notes.ts';
import { SMALL } from '../bar-spacing/before-notes.ts';
import { topOf } from '../ink/ink.ts';
import type { NoteShape } from '../bar-spacing/moment.ts';
import { flagGlyph } from '../bar-spacing/moment.ts';
import type { Sheet } from '../ink/sheet.ts';
import { drawGlyph, fillShape, point, strokeLine, strokeQuietly } from '../ink/sheet.ts';
import { addBox } from '../ink/ink.ts';
import { tenths } from '../ink/tenths.ts';

const SMALL_STEM_PX = 23;
const SMALL_HEAD_PX = 7.8;
const SMALL_BEAM_PX = 3.2;
const SMALL_BEAM_STEP_PX = 5;
const BLACK_HEAD = '\uE0A4';

/**
 * One small note is an eighth with a stroke through its stem, short before the beat; several are sixteenths under two beams.
 * Stems go up whatever the place on the staff.
 */
function drawGraces(sheet: Sheet, shape: NoteShape, x: number): void {
  const graces = shape.before?.graces ?? [];
  if (graces.length === 0) return;
  const stems = graces.map((grace) => x + grace.x + SMALL_HEAD_PX - 0.4);
  const [firstX = 0, lastX = 0] = [stems[0], stems.at(-1)];
  const [firstY = 0, lastY = 0] = [graces[0]?.y, graces.at(-1)?.y];
  const slope = graces.length < 2 ? 0 : Math.max(-4, Math.min(4, (lastY - firstY) / 3)) / Math.max(1, lastX - firstX);
  const base = Math.min(
    ...graces.map((grace, index) => grace.y - SMALL_STEM_PX - slope * ((stems[index] ?? 0) - firstX)),
  );
  graces.forEach((grace, index) => {
    const stemX = stems[index] ?? 0;
    const tip = base + slope * (stemX - firstX);
    for (let line = 6; line <= grace.line; line++) ledger(sheet, x + grace.x, 50 - line * 10);
    for (let line = 0; line >= grace.line; line--) ledger(sheet, x + grace.x, 50 - line * 10);
    if (grace.accidental !== undefined)
      drawGlyph(sheet, grace.accidental.glyph, x + grace.accidental.x, grace.accidental.y, SMALL);
    drawGlyph(sheet, BLACK_HEAD, x + grace.x, grace.y, SMALL);
    strokeLine(sheet, stemX, grace.y - 1.1, stemX, tip, 0.9);
  });
  if (graces.length === 1) {
    drawGlyph(sheet, flagGlyph(8, true), firstX - 0.4, base, SMALL);
    strokeLine(sheet, firstX - 5, base + 14.5, firstX + 7, base + 5, 0.9);
    return;
  }
  for (let level = 0; level < 2; level++) {
    const from = base + level * SMALL_BEAM_STEP_PX;
    const to = from + slope * (lastX - firstX);
    fillShape(
      sheet,
      `M${point(firstX - 0.4, from)}L${point(lastX + 0.4, to)}v${String(SMALL_BEAM_PX)}L${point(firstX - 0.4, from + SMALL_BEAM_PX)}z`,
      [
        [firstX, from],
        [lastX, to],
        [lastX, to + SMALL_BEAM_PX],
        [firstX, from + SMALL_BEAM_PX],
      ],
    );
  }
}

function ledger(sheet: Sheet, x: number, y: number): void {
  strokeLine(sheet, x - 2.4, y, x + SMALL_HEAD_PX + 2.4, y, 1.2);
}

const WAVE_PX = 5;

/** A wavy line along all heads, with an arrow at its lower end where the chord is rolled downwards. */
function drawRoll(sheet: Sheet, shape: NoteShape, x: number): void {
  const rollX = shape.before?.rollX;
  if (rollX === undefined) return;
  const ys = shape.heads.map(({ y }) => y);
  const top = Math.min(...ys) - 6;
  const waves = Math.max(2, Math.ceil((Math.max(...ys) + 6 - top) / (2 * WAVE_PX)));
  const middle = x + rollX;
  const path = `M${point(middle, top)}q3.4 ${tenths(WAVE_PX / 2)} 0 ${String(WAVE_PX)}${`t0 ${String(WAVE_PX)}`.repeat(2 * waves - 1)}`;
  strokeQuietly(sheet, path, 1.5);
  const bottom = top + 2 * waves * WAVE_PX;
  addBox(sheet.ink, middle - 2.5, middle + 2.5, top, bottom);
  if (shape.event.ornament?.roll !== 'down') return;
  fillShape(sheet, `M${point(middle - 3.5, bottom - 1)}h7l-3.5 6.5z`, [
    [middle - 3.5, bottom - 1],
    [middle + 3.5, bottom - 1],
    [middle, bottom + 5.5],
  ]);
}

const TRILL = '\uE566';
const TRILL_SCALE = 0.85;
const TRILL_WAVE_PX = 6;
const LONG_TRILL_PX = 45;

/** `tr` over the note, with a wavy line over a long one up to its end at `endX`. */
function drawTrill(sheet: Sheet, x: number, endX: number): void {
  const width = 21 * TRILL_SCALE;
  const long = endX - x > LONG_TRILL_PX;
  const right = long ? endX - 6 : x + width;
  const y = Math.min(-7, topOf(sheet.ink, x - 2, right) - 6);
  drawGlyph(sheet, TRILL, x - 2, y, TRILL_SCALE);
  if (!long) return;
  const from = x + width + 2;
  const waves = Math.max(1, Math.floor((right - from) / TRILL_WAVE_PX));
  strokeQuietly(
    sheet,
    `M${point(from, y - 4)}q${String(TRILL_WAVE_PX / 2)}-4 ${String(TRILL_WAVE_PX)} 0${`t${String(TRILL_WAVE_PX)} 0`.repeat(waves - 1)}`,
    1.3,
  );
  addBox(sheet.ink, from, right, y - 8, y);
}

const THREE_STROKES = '\uE222';

/** Three strokes through the stem; above or below a note without one. */
function drawTremolo(sheet: Sheet, shape: NoteShape, drawn: DrawnEvent): void {
  const ys = shape.heads.map(({ y }) => y);
  if (shape.stemX === undefined || drawn.tipY === undefined) {
    const y = shape.up ? Math.min(...ys) - 20 : Math.max(...ys) + 20;
    drawGlyph(sheet, THREE_STROKES, drawn.x + shape.headPx / 2, y);
    return;
  }
  const near = shape.up ? Math.min(...ys) : Math.max(...ys);
  const inward = shape.up ? 1 : -1;
  const beams = Math.max(0, Math.log2(shape.event.figure.base / 4));
  const tip = drawn.tipY + inward * (beams === 0 ? 0 : drawn.beam === undefined ? 14 : beams * 7.5);
  // In the middle of the free stem.
  const y = (tip + near - inward * 5) / 2;
  drawGlyph(sheet, THREE_STROKES, drawn.x + shape.stemX, y);
}

/** Draws the ornaments of an event after its notes; `endX` is where the event ends. */
export function drawOrnaments(sheet: Sheet, drawn: DrawnEvent, endX: number): void {
  const { shape } = drawn.prepared;
  if (shape === undefined || shape.rest !== undefined || shape.event.ornament === undefined) return;
  drawGraces(sheet, shape, drawn.x);
  drawRoll(sheet, shape, drawn.x);
  if (shape.event.ornament.sign === 'trill') drawTrill(sheet, drawn.x, endX);
  if (shape.event.ornament.sign === 'tremolo') drawTremolo(sheet, shape, drawn);
}
