/** Draws the notes of one staff in one bar: heads, stems, flags, beams, accidentals, dots, ledger lines, rests. */
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { STEM_JOINT_PX, STROKES_PX } from '../ink/glyph-table.ts';
import { drawRing } from './draw-ring.ts';
import type { NoteShape } from '../bar-spacing/moment.ts';
import { STEM_PX, flagGlyph } from '../bar-spacing/moment.ts';
import type { PreparedEvent, PreparedVoice } from '../bar-spacing/prepare-bar.ts';
import type { Sheet } from '../ink/sheet.ts';
import { drawGlyph, fillShape, point, strokeLine } from '../ink/sheet.ts';
import type { BeamLine } from '../bar-spacing/stems.ts';
import { BEAM_PX, BEAM_STEP_PX, beamYAt, beamedNote, layBeam, stemTip } from '../bar-spacing/stems.ts';

/** An event where it was drawn. */
export interface DrawnEvent {
  readonly prepared: PreparedEvent;
  /** Left edge of its column. */
  readonly x: number;
  /** End of the stem; undefined where there is none. */
  readonly tipY: number | undefined;
  /** Which beam of the voice it stands under. */
  readonly beam: number | undefined;
}

export interface DrawnVoice {
  readonly direction: 1 | -1 | 0;
  readonly events: readonly DrawnEvent[];
}

const LEDGER_PX = STROKES_PX.legerLine;
const HALF_STEM_PX = STEM_PX / 2;

function drawHeads(sheet: Sheet, shape: NoteShape, x: number): void {
  for (const [from, to, y] of shape.ledgers) strokeLine(sheet, x + from, y, x + to, y, LEDGER_PX);
  for (const { glyph, x: left, y } of shape.accidentals) drawGlyph(sheet, glyph, x + left, y);
  shape.heads.forEach((head, index) => {
    // The shared head of a lower voice is its highest one.
    if (shape.sharesHead && index === shape.heads.length - 1) return;
    drawGlyph(sheet, head.glyph, x + head.x, head.y);
  });
  for (const head of shape.heads) {
    if (sheet.marked.has(head.head)) drawRing(sheet, head.glyph, x + head.x, head.y);
  }
  for (const { glyph, x: left, y } of shape.dots) drawGlyph(sheet, glyph, x + left, y);
}

function drawStem(sheet: Sheet, shape: NoteShape, x: number, tipY: number): void {
  if (shape.stemX === undefined) return;
  const ys = shape.heads.map((head) => head.y);
  const from = shape.up ? Math.max(...ys) - STEM_JOINT_PX : Math.min(...ys) + STEM_JOINT_PX;
  strokeLine(sheet, x + shape.stemX, from, x + shape.stemX, tipY, STEM_PX);
}

interface UnderBeam {
  readonly stemX: number;
  readonly beams: number;
  /** From the start of the bar, in divisions. */
  readonly start: number;
  readonly length: number;
}

function drawBeamPiece(sheet: Sheet, line: BeamLine, up: boolean, level: number, fromX: number, toX: number): void {
  const inward = up ? 1 : -1;
  const left = fromX - HALF_STEM_PX;
  const right = toX + HALF_STEM_PX;
  const shift = level * BEAM_STEP_PX * inward;
  const [leftY, rightY] = [beamYAt(line, left) + shift, beamYAt(line, right) + shift];
  const thick = BEAM_PX * inward;
  fillShape(
    sheet,
    `M${point(left, leftY)}l${point(right - left, rightY - leftY)}v${String(thick)}l${point(left - right, leftY - rightY)}z`,
    [
      [left, leftY],
      [right, rightY],
      [right, rightY + thick],
      [left, leftY + thick],
    ],
  );
}

const EIGHTH = DIVISIONS_PER_QUARTER / 2;

/**
 * Runs of notes that share a beam of a level (0 = the outer one). The inner beams of 32nds and shorter are broken at every
 * eighth, so that the reader sees it (E. Gould, Behind Bars, from memory).
 */
function beamLevels(notes: readonly UnderBeam[], level: number): readonly (readonly [number, number])[] {
  const short = notes.some(({ beams }) => beams >= 3);
  const runs: [number, number][] = [];
  let open = false;
  notes.forEach((note, index) => {
    if (note.beams <= level) {
      open = false;
      return;
    }
    const broken = level > 0 && short && note.start % EIGHTH === 0;
    const last = runs.at(-1);
    if (open && last !== undefined && !broken) last[1] = index;
    else runs.push([index, index]);
    open = true;
  });
  return runs;
}

const STUB_PX = 11;

/** A beam that one note has alone is a stub towards the notes that it belongs to: forward where it begins a pair, else back. */
function stubGoesForward(notes: readonly UnderBeam[], index: number): boolean {
  const note = notes[index];
  if (note === undefined || index === 0) return true;
  if (index === notes.length - 1) return false;
  return note.start % (2 * note.length) === 0;
}

function drawBeam(sheet: Sheet, notes: readonly UnderBeam[], line: BeamLine, up: boolean): void {
  const most = Math.max(...notes.map(({ beams }) => beams));
  for (let level = 0; level < most; level++) {
    for (const [from, to] of beamLevels(notes, level)) {
      const first = notes[from];
      const last = notes[to];
      if (first === undefined || last === undefined) continue;
      if (from !== to) {
        drawBeamPiece(sheet, line, up, level, first.stemX, last.stemX);
      } else if (notes.length > 1) {
        const forward = stubGoesForward(notes, from);
        const neighbour = notes[forward ? from + 1 : from - 1];
        const room = neighbour === undefined ? STUB_PX : Math.abs(neighbour.stemX - first.stemX) - 3;
        const stub = Math.min(STUB_PX, room);
        drawBeamPiece(sheet, line, up, level, first.stemX - (forward ? 0 : stub), first.stemX + (forward ? stub : 0));
      }
    }
  }
}

/** Middles of the heads of a voice. */
function headPlaces(voice: PreparedVoice | undefined, columnXs: readonly number[]): { x: number; y: number }[] {
  return (voice?.events ?? []).flatMap(({ shape, column }) =>
    shape === undefined || shape.rest !== undefined
      ? []
      : shape.heads.map(({ x, y }) => ({ x: (columnXs[column] ?? 0) + x + shape.headPx / 2, y })),
  );
}

/** Draws a voice; `other` is the second one of its staff; `columnXs` are the left edges of the columns. Returns where everything stands. */
export function drawVoice(
  sheet: Sheet,
  voice: PreparedVoice,
  columnXs: readonly number[],
  barStart: number,
  other: PreparedVoice | undefined,
): DrawnVoice {
  const tips = new Map<number, number>();
  const beamOf = new Map<number, number>();
  const xOf = (event: PreparedEvent | undefined): number => columnXs[event?.column ?? 0] ?? 0;
  const others = voice.beams.length === 0 ? [] : headPlaces(other, columnXs);
  voice.beams.forEach((indices, beam) => {
    const shapes = indices.flatMap((index) => {
      const event = voice.events[index];
      const shape = event?.shape;
      return event === undefined || shape === undefined || shape.rest !== undefined ? [] : [{ index, event, shape }];
    });
    const up = shapes[0]?.shape.up ?? true;
    const beamed = shapes.map(({ event, shape }) => beamedNote(shape, xOf(event)));
    const line = layBeam(beamed, up, others);
    const under = shapes.map(({ index, event }, place): UnderBeam => {
      const { stemX, beams } = beamed[place] ?? { stemX: 0, beams: 1 };
      tips.set(index, beamYAt(line, stemX));
      beamOf.set(index, beam);
      return { stemX, beams, start: event.event.start - barStart, length: event.event.length };
    });
    drawBeam(sheet, under, line, up);
  });
  const events = voice.events.map((prepared, index): DrawnEvent => {
    const { shape } = prepared;
    const x = xOf(prepared);
    if (shape === undefined) return { prepared, x, tipY: undefined, beam: undefined };
    if (shape.rest !== undefined) {
      drawGlyph(sheet, shape.rest.glyph, x + shape.rest.x, shape.rest.y);
      for (const dot of shape.dots) drawGlyph(sheet, dot.glyph, x + dot.x, dot.y);
      return { prepared, x, tipY: undefined, beam: undefined };
    }
    drawHeads(sheet, shape, x);
    const beamTip = tips.get(index);
    const tipY = shape.stemX === undefined ? undefined : (beamTip ?? stemTip(shape));
    if (tipY !== undefined) drawStem(sheet, shape, x, tipY);
    if (tipY !== undefined && beamTip === undefined && shape.event.figure.base >= 8) {
      drawGlyph(sheet, flagGlyph(shape.event.figure.base, shape.up), x + (shape.stemX ?? 0) - HALF_STEM_PX, tipY);
    }
    return { prepared, x, tipY, beam: beamOf.get(index) };
  });
  return { direction: voice.direction, events };
}
