/** The outline of a part's band in one line of bars. */
import type { PresenceSpan } from '../../../model/readings/readings.ts';
import { round } from '../../svg.ts';
import { boxOf, xInBar, type RulerLine } from '../../ruler/ruler.ts';

/** Longest wedge of an entry from nothing or an exit to nothing, in user units. */
const LONGEST_WEDGE = 18;

interface Corner {
  readonly x: number;
  readonly half: number;
}

export interface DrawnSpan {
  /** Closed outline. */
  readonly path: string;
  /** Where the span begins and ends in this line; undefined where it comes from, or goes on to, another line. */
  readonly startX?: number;
  readonly endX?: number;
}

/**
 * Outline of a span: as thick as its level at the middle of each bar, straight between. `y` is the middle of the row,
 * `thickness` gives user units by bar number. Undefined where the span does not touch the line.
 */
export function drawSpan(
  span: PresenceSpan,
  line: RulerLine,
  y: number,
  thickness: (bar: number) => number,
): DrawnSpan | undefined {
  if (span.to < line.firstBar || span.from > line.lastBar) return undefined;
  const first = boxOf(line, Math.max(span.from, line.firstBar));
  const last = boxOf(line, Math.min(span.to, line.lastBar));
  if (first === undefined || last === undefined) return undefined;
  const starts = span.from >= line.firstBar;
  const ends = span.to <= line.lastBar;
  const startX = starts ? xInBar(first, span.firstQuarters) : first.x;
  const endX = Math.max(ends ? xInBar(last, span.lastQuarters) : last.x + last.width, startX + 2);
  const corners = cornersOf(span, line, { first: first.number, last: last.number, startX, endX }, thickness);
  return { path: outline(corners, y), ...(starts ? { startX } : {}), ...(ends ? { endX } : {}) };
}

function cornersOf(
  span: PresenceSpan,
  line: RulerLine,
  place: { readonly first: number; readonly last: number; readonly startX: number; readonly endX: number },
  thickness: (bar: number) => number,
): Corner[] {
  const wedge = Math.min(LONGEST_WEDGE, (place.endX - place.startX) / 2.2);
  const opens = span.entry === 'from-nothing' && place.first === span.from;
  const closes = span.exit === 'to-nothing' && place.last === span.to;
  const from = place.startX + (opens ? wedge : 0);
  const to = place.endX - (closes ? wedge : 0);
  const corners: Corner[] = [];
  if (opens) corners.push({ x: place.startX, half: 0.2 });
  corners.push({ x: from, half: thickness(place.first) / 2 });
  for (let bar = place.first; bar <= place.last; bar++) {
    const box = boxOf(line, bar);
    if (box === undefined) continue;
    const middle = box.x + box.width / 2;
    if (middle > from && middle < to) corners.push({ x: middle, half: thickness(bar) / 2 });
  }
  corners.push({ x: to, half: thickness(place.last) / 2 });
  if (closes) corners.push({ x: place.endX, half: 0.2 });
  return corners.filter((corner, index) => !isStraight(corners[index - 1], corner, corners[index + 1]));
}

function isStraight(before: Corner | undefined, here: Corner, after: Corner | undefined): boolean {
  return before !== undefined && after !== undefined && before.half === here.half && here.half === after.half;
}

function outline(corners: readonly Corner[], y: number): string {
  const upper = corners.map((corner) => `${round(corner.x)} ${round(y - corner.half)}`);
  const lower = corners.map((corner) => `${round(corner.x)} ${round(y + corner.half)}`).reverse();
  return `M${upper.join('L')}L${lower.join('L')}z`;
}

/** A part of a span through which the player is in front, or behind, without change. */
export interface SpanPiece extends PresenceSpan {
  readonly isFront: boolean;
}

/** A span cut where its player comes to the front or steps back; only the outer ends keep their kind and place. */
export function piecesOf(span: PresenceSpan, isFront: (bar: number) => boolean): SpanPiece[] {
  const pieces: SpanPiece[] = [];
  let from = span.from;
  for (let bar = span.from; bar <= span.to; bar++) {
    if (bar < span.to && isFront(bar + 1) === isFront(from)) continue;
    pieces.push({
      partId: span.partId,
      from,
      to: bar,
      isFront: isFront(from),
      entry: from === span.from ? span.entry : 'at-once',
      exit: bar === span.to ? span.exit : 'at-once',
      firstQuarters: from === span.from ? span.firstQuarters : Number.NEGATIVE_INFINITY,
      lastQuarters: bar === span.to ? span.lastQuarters : Number.POSITIVE_INFINITY,
    });
    from = bar + 1;
  }
  return pieces;
}
