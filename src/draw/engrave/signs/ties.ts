/** Ties, whole and, where a line ends between their notes, in two halves. */
import { SAME_MOMENT } from '../bar-spacing/columns.ts';
import type { DrawnEvent, DrawnVoice } from './draw-notes.ts';
import type { NoteShape } from '../bar-spacing/moment.ts';
import type { Sheet } from '../ink/sheet.ts';
import { fillShape, point } from '../ink/sheet.ts';
import { pitchName } from '../../../model/music/pitch.ts';

interface TieEnd {
  readonly x: number;
  readonly y: number;
}

interface OpenTie {
  readonly from: TieEnd;
  readonly endsAt: number;
  /** 1 = bends down, -1 = up. */
  readonly bend: 1 | -1;
  readonly outer: boolean;
}

export type OpenTies = Map<string, OpenTie>;

const HALF_TIE_PX = 16;

/**
 * Away from the stem for a single note; in a chord the upper notes' ties bend up and the lower ones' down, and a middle one
 * goes away from the stem; of two voices the upper one's go up (E. Gould, Behind Bars, from memory).
 */
function bendOf(shape: NoteShape, headIndex: number, direction: DrawnVoice['direction']): 1 | -1 {
  if (direction !== 0) return direction === 1 ? -1 : 1;
  const middle = (shape.heads.length - 1) / 2;
  if (headIndex > middle) return -1;
  if (headIndex < middle) return 1;
  return shape.up ? 1 : -1;
}

function leftOf(drawn: DrawnEvent, shape: NoteShape): number {
  return drawn.x + Math.min(...shape.heads.map(({ x }) => x)) - 1;
}

/** A tie begins after the heads, and after a dot that is in its way. */
function startOf(drawn: DrawnEvent, shape: NoteShape, y: number, bend: 1 | -1): number {
  const heads = Math.max(...shape.heads.map(({ x }) => x)) + shape.headPx + 1;
  const single = shape.heads.length === 1;
  const inWay = shape.dots.filter((dot) => !single || (dot.y - y) * bend > 2);
  // A tie of a single note begins a little inside; one beside dots right of them.
  return drawn.x + Math.max(heads, ...inWay.map(({ x }) => x + (single ? 7.5 : 4)));
}

function drawTie(sheet: Sheet, from: TieEnd, to: TieEnd, bend: 1 | -1, outer: boolean): void {
  const inset = outer ? -2.5 : 1.5;
  const away = (outer ? 7 : 3) * bend;
  const x1 = from.x + inset;
  const x2 = Math.max(x1 + 8, to.x - inset);
  const y1 = from.y + away;
  const y2 = to.y + away;
  const span = x2 - x1;
  const height = Math.min(13, 4.5 + span * 0.07) * bend;
  const shoulder = Math.min(span * 0.3, 40);
  const inner = height - 2.6 * bend;
  const path =
    `M${point(x1, y1)}C${point(x1 + shoulder, y1 + height)} ${point(x2 - shoulder, y2 + height)} ${point(x2, y2)}` +
    `C${point(x2 - shoulder, y2 + inner)} ${point(x1 + shoulder, y1 + inner)} ${point(x1, y1)}z`;
  const deep = height * 0.75;
  fillShape(sheet, path, [
    [x1, y1],
    [x1 + shoulder, y1 + deep],
    [x2 - shoulder, y2 + deep],
    [x2, y2],
  ]);
}

/**
 * Draws the ties that end in this bar and keeps those that start in it. `lineStartX` is given for the first bar of a line,
 * where a tie from the line before arrives.
 */
export function drawTiesOfBar(
  sheet: Sheet,
  voices: readonly DrawnVoice[],
  barStart: number,
  open: OpenTies,
  lineStartX: number | undefined,
): void {
  const items = voices
    .flatMap(({ direction, events }) => events.map((drawn) => ({ drawn, direction })))
    .sort((a, b) => a.drawn.prepared.event.start - b.drawn.prepared.event.start);
  for (const { drawn, direction } of items) {
    const { event, shape } = drawn.prepared;
    if (shape === undefined || shape.rest !== undefined) continue;
    shape.heads.forEach(({ head, y }, headIndex) => {
      const name = pitchName(head.pitch);
      const outer = shape.heads.length === 1;
      if (head.tieFromPrevious) {
        const tie = open.get(name);
        const to = { x: leftOf(drawn, shape), y };
        if (tie !== undefined && Math.abs(tie.endsAt - event.start) <= SAME_MOMENT) {
          drawTie(sheet, tie.from, to, tie.bend, tie.outer && outer);
          open.delete(name);
        } else if (lineStartX !== undefined && Math.abs(event.start - barStart) <= SAME_MOMENT) {
          const from = { x: Math.max(lineStartX, to.x - HALF_TIE_PX - 6), y };
          drawTie(sheet, from, to, bendOf(shape, headIndex, direction), outer);
        }
      }
      if (head.tieToNext) {
        const bend = bendOf(shape, headIndex, direction);
        open.set(name, {
          from: { x: startOf(drawn, shape, y, bend), y },
          endsAt: event.start + event.length,
          bend,
          outer,
        });
      }
    });
  }
}

/** Draws the first halves of the ties that leave the line at `lineEnd` (divisions), up to the bar line at `x`. */
export function drawLeavingTies(sheet: Sheet, open: OpenTies, lineEnd: number, x: number): void {
  for (const tie of open.values()) {
    if (Math.abs(tie.endsAt - lineEnd) > SAME_MOMENT) continue;
    const to = { x: Math.max(x - 2, tie.from.x + 8), y: tie.from.y };
    drawTie(sheet, tie.from, to, tie.bend, tie.outer);
  }
  open.clear();
}
