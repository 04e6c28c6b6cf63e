/** Where the bars stand in the picture of the whole piece. */
import { GUTTER_WIDTH, spanInLine, type RulerLine } from '../../ruler/ruler.ts';

const RIGHT_MARGIN = 14;

/** Measures of one of the two pictures, in user units, which are CSS pixels at its full width. */
export interface PieceSize {
  readonly name: 'wide' | 'narrow';
  readonly width: number;
  readonly gutter: number;
  /** Least distance between two bar numbers. */
  readonly numberGap: number;
  readonly mostClockMarks: number;
  /** What a finger hits is 24 CSS pixels high and wide (WCAG 2.2, 2.5.8): so many units, as the narrow one may be shown a little smaller. */
  readonly reach: number;
}

/** The line of all bars, put on the picture's own width. */
export interface PieceLine {
  readonly line: RulerLine;
  readonly left: number;
  readonly right: number;
  /** x of a place of the ruler. */
  readonly x: (rulerX: number) => number;
}

/** Puts the one line of a ruler on a picture of this size. */
export function pieceLine(line: RulerLine, size: PieceSize): PieceLine {
  const right = size.width - RIGHT_MARGIN;
  const unit = (right - size.gutter) / Math.max(1, line.right - GUTTER_WIDTH);
  return { line, left: size.gutter, right, x: (rulerX) => size.gutter + (rulerX - GUTTER_WIDTH) * unit };
}

/** Left and right edge of a span of bars; undefined where the piece has none of them. */
export function edgesOf(place: PieceLine, from: number, to: number): readonly [number, number] | undefined {
  const span = spanInLine(place.line, from, to);
  return span === undefined ? undefined : [place.x(span.first.x), place.x(span.last.x + span.last.width)];
}
