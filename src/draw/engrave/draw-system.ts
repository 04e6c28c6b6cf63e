/** Draws one system: notes bar by bar into a sheet for each staff, words above, then the staves set one under another by their ink. */
import { escapeXml } from '../svg.ts';
import { tenths } from './tenths.ts';
import type { EngravedBar } from '../../model/drawing.ts';
import type { ScoreBar, StaffInfo } from '../../model/written.ts';
import type { BarPlace } from './above-system.ts';
import { drawBarNumbers, drawChords, drawHeadings } from './above-system.ts';
import { requiredGlyph } from './glyph-table.ts';
import type { CueBlock } from './cues.ts';
import { drawCues } from './cues.ts';
import type { BarLine } from './frame.ts';
import { frameMarkup, labelMarkup, labelsOf, marginFor, staffGroups } from './frame.ts';
import { SMALL_CLEF_SCALE, changeHead, clefChangeWidth, clefChanges, drawHead, lineHead } from './heads.ts';
import { addBox, bottomOf, distanceFor, topOf } from './ink.ts';
import type { PlacedWords } from './columns.ts';
import { momentIndex } from './columns.ts';
import type { PreparedBar } from './prepare-bar.ts';
import type { Sheet } from './sheet.ts';
import { blankSheet, drawGlyph, point, sheetMarkup, strokeQuietly } from './sheet.ts';
import { forceFor, leastWidth, widthAt } from './spacing.ts';
import { StringContext } from './string-context.ts';
import type { OpenTies } from './ties.ts';
import { drawLeavingTies, drawTiesOfBar } from './ties.ts';
import { drawTuplets } from './tuplets.ts';

/** A bar with the words above it. */
export interface ReadyBar {
  readonly prepared: PreparedBar;
  readonly chords: readonly PlacedWords[];
  readonly cues: readonly CueBlock[];
}

export interface SystemRequest {
  readonly staves: readonly StaffInfo[];
  readonly bars: readonly ReadyBar[];
  /** The bar after the last one of this system. */
  readonly next: ScoreBar | undefined;
  /** The first system names its staves in full. */
  readonly first: boolean;
  readonly widthPx: number;
  readonly label: string;
  /** Shared by all systems of the score. */
  readonly glyphs: Set<string>;
}

export interface DrawnSystem {
  readonly svg: string;
  readonly bars: readonly EngravedBar[];
  readonly heightPx: number;
}

/** Last lines fuller than this are stretched like any other. */
const STRETCH_LAST_FROM = 0.77;
const STAFF_PX = 40;
/** From the top line of a staff to the top line of the next, at least. */
const LEAST_IN_BRACE_PX = 85;
const LEAST_BETWEEN_GROUPS_PX = 98;
const CLEAR_PX = 9;
const FOOT_PX = 8;
const STAFF_LINE_PX = 1;
/** A little more room after the signs at the head of a line, where ties arrive. */
const LINE_LEAD_PX = 6;
/** VexFlow adds this much left of every note. */
const VEXFLOW_PAD_PX = 12;

export function marginOf(staves: readonly StaffInfo[], first: boolean): number {
  const groups = staffGroups(staves);
  return marginFor(labelsOf(staves, groups, first), groups);
}

/** Room of a bar that does not stretch: its head, the lead to the first note, small clefs at its end. */
export function rigidWidth(ready: ReadyBar, next: ScoreBar | undefined, firstInLine: boolean): number {
  const { bar, leadPx } = ready.prepared;
  const head = firstInLine ? lineHead(bar) : changeHead(bar);
  const line = firstInLine ? LINE_LEAD_PX : 0;
  return head.widthPx + line + leadPx + clefChangeWidth(clefChanges(bar, next));
}

/** Room after the last bar line for the changes that the next line begins with. */
export function courtesyWidth(next: ScoreBar | undefined): number {
  const width = next === undefined ? 0 : changeHead(next).widthPx;
  return width === 0 ? 0 : width + 4;
}

/** A whole rest, whatever the meter; from the length of two whole notes on a double whole rest (Gould, from memory). */
const WHOLE_REST = '\uE4E3';
const DOUBLE_WHOLE_REST = '\uE4E2';
const DOUBLE_WHOLE_DIVISIONS = 3840;

function drawWholeBarRest(sheet: Sheet, bar: ScoreBar, left: number, right: number, y: number): void {
  const glyph = bar.lengthDivisions >= DOUBLE_WHOLE_DIVISIONS ? DOUBLE_WHOLE_REST : WHOLE_REST;
  const width = requiredGlyph(glyph).record.advance;
  const x = (left + right - width) / 2;
  drawGlyph(sheet, glyph, x, glyph === WHOLE_REST ? y : y + 10);
}

function drawNotes(
  ready: ReadyBar,
  sheets: readonly Sheet[],
  contexts: readonly StringContext[],
  noteX: number,
  right: number,
): void {
  const { prepared } = ready;
  prepared.staves.forEach((staff, staffIndex) => {
    const sheet = sheets[staffIndex];
    const context = contexts[staffIndex];
    if (sheet === undefined || context === undefined) return;
    if (staff.silent) {
      drawWholeBarRest(sheet, prepared.bar, noteX, right, 10);
      return;
    }
    staff.stave.setContext(context);
    staff.stave.setNoteStartX(noteX - VEXFLOW_PAD_PX);
    for (const beam of staff.beams) beam.postFormat();
    for (const voice of staff.voices) {
      for (const { event, note } of voice.events) {
        if (note !== undefined) note.setContext(context).drawWithStyle();
        else if (event.wholeBar === true && event.hidden !== true) {
          drawWholeBarRest(sheet, prepared.bar, noteX, right, voice.direction === 1 ? -10 : 30);
        }
      }
    }
    for (const beam of staff.beams) beam.setContext(context).drawWithStyle();
  });
}

interface Line {
  readonly systemPx: number;
  readonly force: number;
}

/** Width of the system (wider than asked where one bar needs more) and the force on its springs. */
function layLine(request: SystemRequest, margin: number): Line {
  const { bars, next, widthPx } = request;
  const gaps = bars.flatMap((ready) => ready.prepared.gaps);
  let rigid = margin + courtesyWidth(next) + 1;
  bars.forEach((ready, index) => {
    rigid += rigidWidth(ready, bars[index + 1]?.prepared.bar ?? next, index === 0);
  });
  const available = widthPx - rigid;
  const least = leastWidth(gaps);
  if (least > available) return { systemPx: Math.ceil(rigid + least), force: 0 };
  const natural = widthAt(gaps, 1);
  if (next === undefined && natural + rigid < STRETCH_LAST_FROM * widthPx) return { systemPx: widthPx, force: 1 };
  return { systemPx: widthPx, force: forceFor(gaps, available) };
}

function stackStaves(staves: readonly StaffInfo[], sheets: readonly Sheet[], systemPx: number): readonly number[] {
  const first = sheets[0];
  const ys: number[] = [];
  if (first === undefined) return ys;
  ys.push(Math.ceil(4 - Math.min(0, topOf(first.ink, 0, systemPx))));
  for (let index = 1; index < sheets.length; index++) {
    const [above, here] = [sheets[index - 1], sheets[index]];
    if (above === undefined || here === undefined) break;
    const together = staves[index]?.brace !== '' && staves[index]?.brace === staves[index - 1]?.brace;
    const least = together ? LEAST_IN_BRACE_PX : LEAST_BETWEEN_GROUPS_PX;
    ys.push((ys[index - 1] ?? 0) + Math.ceil(Math.max(least, distanceFor(above.ink, here.ink, CLEAR_PX))));
  }
  return ys;
}

/** Draws one system. */
export function drawSystem(request: SystemRequest): DrawnSystem {
  const { staves, bars, next, widthPx } = request;
  const groups = staffGroups(staves);
  const labels = labelsOf(staves, groups, request.first);
  const margin = marginFor(labels, groups);
  const { systemPx, force } = layLine(request, margin);
  const sheets = staves.map(() => blankSheet(systemPx, request.glyphs));
  const contexts = sheets.map((sheet) => new StringContext(sheet));
  const ties = staves.map((): OpenTies => new Map());
  const places: BarPlace[] = [];
  const barLines: { x: number; kind: BarLine }[] = [];
  const chords: { placed: PlacedWords; x: number }[] = [];
  const cues: { block: CueBlock; x: number }[] = [];
  const rights: number[] = [];
  let left = margin;
  bars.forEach((ready, index) => {
    const { prepared } = ready;
    const { bar } = prepared;
    const following = bars[index + 1]?.prepared.bar ?? next;
    const head = index === 0 ? lineHead(bar) : changeHead(bar);
    drawHead(sheets, head, left);
    const noteX = left + head.widthPx + (index === 0 ? LINE_LEAD_PX : 0) + prepared.leadPx;

    let x = noteX;
    const columnXs = prepared.columns.map(() => 0);
    prepared.gaps.forEach((gap, gapIndex) => {
      if (gapIndex < columnXs.length) columnXs[gapIndex] = x;
      prepared.columns[gapIndex]?.context?.setX(x - noteX);
      x += Math.max(gap.least, force * gap.ideal);
    });
    const changes = clefChanges(bar, following);
    const right = x + clefChangeWidth(changes);
    drawNotes(ready, sheets, contexts, noteX, x);
    changes.forEach((sign, staffIndex) => {
      const sheet = sheets[staffIndex];
      if (sign === undefined || sheet === undefined) return;
      drawGlyph(sheet, sign.glyph, x - 2, sign.y, SMALL_CLEF_SCALE);
    });

    const kind = following === undefined ? 'final' : following.sectionName !== undefined ? 'double' : 'single';
    barLines.push({ x: right, kind });
    places.push({ bar, first: index === 0, left, noteX: left + head.widthPx + 13 });
    const moments = prepared.columns.map((column) => column.start);
    const xAt = (start: number): number => columnXs[momentIndex(moments, start)] ?? noteX;
    for (const placed of ready.chords) chords.push({ placed, x: xAt(placed.start) });
    for (const block of ready.cues) cues.push({ block, x: xAt(block.start) });
    prepared.staves.forEach((staff, staffIndex) => {
      const sheet = sheets[staffIndex];
      const open = ties[staffIndex];
      if (sheet === undefined || open === undefined) return;
      drawTiesOfBar(
        sheet,
        staff.voices,
        bar.startDivisions,
        open,
        index === 0 ? noteX - prepared.leadPx - LINE_LEAD_PX + 4 : undefined,
      );
      for (const voice of staff.voices) drawTuplets(sheet, voice);
    });
    rights.push(right);
    left = right;
  });

  const musicEnd = left;
  const lineEnd = musicEnd + courtesyWidth(next);
  if (next !== undefined) drawHead(sheets, changeHead(next), musicEnd);
  const lastBar = bars.at(-1)?.prepared.bar;
  const endDivisions = lastBar === undefined ? 0 : lastBar.startDivisions + lastBar.lengthDivisions;
  sheets.forEach((sheet, staffIndex) => {
    const open = ties[staffIndex];
    if (open !== undefined) drawLeavingTies(sheet, open, endDivisions, musicEnd);
    const path = [0, 10, 20, 30, 40].map((y) => `M${point(margin, y)}H${tenths(lineEnd)}`).join('');
    strokeQuietly(sheet, path, STAFF_LINE_PX);
    addBox(sheet.ink, margin, lineEnd, 0, STAFF_PX);
  });

  sheets.forEach((sheet, staffIndex) => {
    drawCues(
      sheet,
      cues.filter(({ block }) => block.staff === staffIndex),
      systemPx - 1,
    );
  });
  const topSheet = sheets[0];
  if (topSheet !== undefined) {
    drawBarNumbers(topSheet, places);
    drawChords(topSheet, chords, systemPx - 1);
    drawHeadings(topSheet, places, systemPx - 1);
  }

  const staffYs = stackStaves(staves, sheets, systemPx);
  const lowest = sheets.at(-1);
  const bottom =
    (staffYs.at(-1) ?? 0) + Math.max(STAFF_PX, lowest === undefined ? 0 : bottomOf(lowest.ink, 0, systemPx));
  const height = Math.ceil(bottom + FOOT_PX);
  const scale = widthPx / systemPx;

  const bodies = sheets.map((sheet, index) => sheetMarkup(sheet, staffYs[index] ?? 0)).join('');
  const barRects = places
    .map(({ bar, left: x }, index) => {
      const width = (rights[index] ?? x) - x;
      return `<rect data-bar="${String(bar.number)}" x="${tenths(x)}" y="0" width="${tenths(width)}" height="${String(height)}"/>`;
    })
    .join('');
  const svg =
    `<svg class="sn" viewBox="0 0 ${String(systemPx)} ${String(height)}" role="img" aria-label="${escapeXml(request.label)}" ` +
    `fill="currentColor" font-family="serif">` +
    `<g class="sn-bars" fill="none" pointer-events="all">${barRects}</g>` +
    frameMarkup(groups, staffYs, margin, barLines, request.glyphs) +
    labelMarkup(labels, groups, staffYs, margin) +
    bodies +
    `</svg>`;
  return {
    svg,
    heightPx: Math.ceil(height * scale),
    bars: places.map(({ bar, left: x }, index) => ({
      number: bar.number,
      xPx: Math.round(x * scale * 10) / 10,
      widthPx: Math.round(((rights[index] ?? x) - x) * scale * 10) / 10,
    })),
  };
}
