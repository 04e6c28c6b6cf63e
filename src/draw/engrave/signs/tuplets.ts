/** Tuplet figures and brackets. */
import { bottomOf, topOf } from '../ink/ink.ts';
import type { DrawnEvent, DrawnVoice } from './draw-notes.ts';
import { STROKES_PX, requiredGlyph } from '../ink/glyph-table.ts';
import type { Sheet } from '../ink/sheet.ts';
import { drawGlyph, strokeLine } from '../ink/sheet.ts';

const DIGIT_SCALE = 0.85;
const BRACKET_HOOK_PX = 7;
const BRACKET_THICKNESS_PX = STROKES_PX.tupletBracket;

function groupsOf(voice: DrawnVoice): DrawnEvent[][] {
  const groups: DrawnEvent[][] = [];
  let id: number | undefined;
  for (const drawn of voice.events) {
    const tuplet = drawn.prepared.event.figure.tuplet;
    const last = groups.at(-1);
    if (tuplet === undefined) id = undefined;
    else if (tuplet.id === id && last !== undefined) last.push(drawn);
    else {
      groups.push([drawn]);
      id = tuplet.id;
    }
  }
  return groups;
}

function stemXOf({ prepared: { shape }, x }: DrawnEvent): number {
  return x + (shape?.rest === undefined ? (shape?.stemX ?? 0) : 0);
}

function widthOf({ prepared: { shape } }: DrawnEvent): number {
  return shape?.rest === undefined ? (shape?.headPx ?? 0) : shape.widthPx;
}

function drawFigure(sheet: Sheet, text: string, centreX: number, centreY: number): void {
  const characters = Array.from(text, (character) =>
    character === ':' ? '\uE88A' : String.fromCodePoint(0xe880 + Number(character)),
  );
  const width = characters.reduce((sum, character) => sum + requiredGlyph(character).record.advance * DIGIT_SCALE, 0);
  let x = centreX - width / 2;
  for (const character of characters) {
    const { record } = requiredGlyph(character);
    const y = centreY - ((record.top + record.bottom) / 2) * DIGIT_SCALE;
    x += drawGlyph(sheet, character, x, y, DIGIT_SCALE);
  }
}

/** 3 in the time of 2, 5 or 6 or 7 in the time of 4 need no ratio; anything else says it. */
function figureText(actual: number, normal: number): string {
  let usual = 1;
  while (usual * 2 < actual) usual *= 2;
  return normal === usual ? String(actual) : `${String(actual)}:${String(normal)}`;
}

/**
 * Draws the tuplets of a voice after its notes. The figure stands on the side of stems and beams, outside the staff; a
 * bracket is left away only where a beam says the same (E. Gould, Behind Bars, from memory).
 */
export function drawTuplets(sheet: Sheet, voice: DrawnVoice): void {
  for (const group of groupsOf(voice)) {
    const tuplet = group[0]?.prepared.event.figure.tuplet;
    const shown = group.filter(({ prepared }) => prepared.shape !== undefined);
    const first = shown[0];
    const last = shown.at(-1);
    if (tuplet === undefined || first === undefined || last === undefined) continue;
    const { beam } = first;
    const beamed =
      beam !== undefined &&
      shown.length === group.length &&
      shown.every((drawn) => drawn.beam === beam) &&
      voice.events.filter((drawn) => drawn.beam === beam).length === shown.length;
    const ups = shown.filter(({ prepared: { shape } }) => shape?.rest === undefined && shape?.up === true).length;
    const notes = shown.filter(({ prepared }) => prepared.event.kind === 'notes').length;
    const side = voice.direction !== 0 ? voice.direction : notes === 0 || ups * 2 >= notes ? 1 : -1;
    const left = beamed ? stemXOf(first) : first.x - 3;
    const right = beamed ? stemXOf(last) : last.x + widthOf(last) + 3;
    const centre = (left + right) / 2;
    const [inkLeft, inkRight] = beamed ? [centre - 8, centre + 8] : [left, right];
    const text = figureText(tuplet.actual, tuplet.normal);
    const gap = beamed ? 10 : 9;
    const y =
      side === 1
        ? Math.min(-9, topOf(sheet.ink, inkLeft, inkRight) - gap)
        : Math.max(49, bottomOf(sheet.ink, inkLeft, inkRight) + gap);
    if (!beamed) {
      const room = text.length * 5 + 5;
      const hook = y + (side === 1 ? BRACKET_HOOK_PX : -BRACKET_HOOK_PX);
      strokeLine(sheet, left, hook, left, y, BRACKET_THICKNESS_PX);
      strokeLine(sheet, right, hook, right, y, BRACKET_THICKNESS_PX);
      if (right - left > 2 * room) {
        strokeLine(sheet, left, y, centre - room, y, BRACKET_THICKNESS_PX);
        strokeLine(sheet, centre + room, y, right, y, BRACKET_THICKNESS_PX);
      }
    }
    drawFigure(sheet, text, centre, y);
  }
}
