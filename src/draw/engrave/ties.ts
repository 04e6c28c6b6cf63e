/** Ties, whole and, where a line ends between their notes, in two halves. */
import type { StaveNote } from 'vexflow/core';
import type { NoteHead, WrittenEvent } from '../../model/written.ts';
import { SAME_MOMENT } from './columns.ts';
import type { PreparedVoice } from './prepare-bar.ts';
import type { Sheet } from './sheet.ts';
import { fillShape, point } from './sheet.ts';

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

function nameOf({ pitch }: NoteHead): string {
  return `${pitch.step}${String(pitch.alter)}/${String(pitch.octave)}`;
}

/**
 * Away from the stem for a single note; in a chord the upper notes' ties bend up and the lower ones' down, and a middle one
 * goes away from the stem; of two voices the upper one's go up (E. Gould, Behind Bars, from memory).
 */
function bendOf(event: WrittenEvent, headIndex: number, note: StaveNote, voice: PreparedVoice): 1 | -1 {
  if (voice.direction !== 0) return voice.direction === 1 ? -1 : 1;
  const middle = (event.heads.length - 1) / 2;
  if (headIndex > middle) return -1;
  if (headIndex < middle) return 1;
  return note.getStemDirection() === 1 ? 1 : -1;
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
  voices: readonly PreparedVoice[],
  barStart: number,
  open: OpenTies,
  lineStartX: number | undefined,
): void {
  const items = voices
    .flatMap((voice) => voice.events.map(({ event, note }) => ({ event, note, voice })))
    .sort((a, b) => a.event.start - b.event.start);
  for (const { event, note, voice } of items) {
    if (note === undefined || event.kind !== 'notes') continue;
    const ys = note.getYs();
    event.heads.forEach((head, headIndex) => {
      const name = nameOf(head);
      const y = ys[headIndex] ?? ys[0] ?? 0;
      const outer = event.heads.length === 1;
      if (head.tieFromPrevious) {
        const tie = open.get(name);
        const to = { x: note.getTieLeftX(), y };
        if (tie !== undefined && Math.abs(tie.endsAt - event.start) <= SAME_MOMENT) {
          drawTie(sheet, tie.from, to, tie.bend, tie.outer && outer);
          open.delete(name);
        } else if (lineStartX !== undefined && Math.abs(event.start - barStart) <= SAME_MOMENT) {
          const from = { x: Math.max(lineStartX, to.x - HALF_TIE_PX - 6), y };
          drawTie(sheet, from, to, bendOf(event, headIndex, note, voice), outer);
        }
      }
      if (head.tieToNext) {
        open.set(name, {
          from: { x: note.getTieRightX(), y },
          endsAt: event.start + event.length,
          bend: bendOf(event, headIndex, note, voice),
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
