/** What stands above the top staff of a system, from the staff upwards: bar numbers, chord symbols, section names and tempo. */
import type { ScoreBar } from '../../../model/music/written.ts';
import { topOf } from '../ink/ink.ts';
import type { Sheet } from '../ink/sheet.ts';
import { drawWords, point, strokeQuietly } from '../ink/sheet.ts';
import { addBox } from '../ink/ink.ts';
import type { PlacedWords } from '../bar-spacing/columns.ts';
import type { LetterSize, WordStyle, Words } from '../ink/words.ts';
import {
  lettered,
  NUMBER_SIZES_PX,
  plainWords,
  PRINTED_PT,
  pxForPoints,
  tempoWords,
  WORD_STYLES,
} from '../ink/words.ts';

export interface BarPlace {
  readonly bar: ScoreBar;
  readonly first: boolean;
  /** Bar line left of the bar (the left end of the staff for the first one). */
  readonly left: number;
  /** Where its first note stands. */
  readonly noteX: number;
  /** Where its tempo stands, if that is not over the first note. */
  readonly tempoX?: number;
}

/** The least size at which a bar number is read from a stand. */
const LEAST_NUMBER_PT = 7;

/** The least size that prints at 7 points in a system so wide (7 points: common practice, no source), and is 11 px on a telephone. */
function numberStyleFor(systemPx: number, printedPt: number): WordStyle {
  const leastPx = pxForPoints(LEAST_NUMBER_PT, systemPx, printedPt);
  return `number-${NUMBER_SIZES_PX.find((size) => size >= leastPx) ?? 40}`;
}

/** Every bar is numbered, as the orchestra librarians' association (MOLA) asks; a pickup has no number. */
export function drawBarNumbers(
  sheet: Sheet,
  places: readonly BarPlace[],
  systemPx: number,
  printedPt = PRINTED_PT,
): void {
  const style = numberStyleFor(systemPx, printedPt);
  for (const { bar, first, left } of places) {
    if (bar.number <= 0) continue;
    const words = plainWords(String(bar.number), style);
    const x = first ? left : left - words.widthPx / 2;
    const y = Math.min(-6, topOf(sheet.ink, x, x + words.widthPx) - 3);
    drawWords(sheet, words, x, y);
  }
}

/** Chord symbols on one base line, clear of all that stands under them. */
export function drawChords(
  sheet: Sheet,
  chords: readonly { readonly placed: PlacedWords; readonly x: number }[],
  rightEdge: number,
): void {
  const set = chords.map(({ placed, x }) => ({
    words: placed.words,
    x: Math.min(x, rightEdge - placed.words.widthPx),
  }));
  let base = -12;
  for (const { words, x } of set) base = Math.min(base, topOf(sheet.ink, x, x + words.widthPx) - 7);
  for (const { words, x } of set) drawWords(sheet, words, x, base);
}

const BOX_PAD_PX = 4;
/** White between a box and what stands under it. */
const BOX_GAP_PX = 5;

/** So wide a name at least stands whole over a short last bar: it begins before the bar line then. */
const LEAST_HEADING_PX = 260;

interface Heading {
  readonly words: Words;
  readonly boxed: boolean;
  readonly x: number;
}

function headingsOf(places: readonly BarPlace[], rightEdge: number, size: LetterSize | undefined): readonly Heading[] {
  const headings: Heading[] = [];
  for (const { bar, left, noteX, tempoX } of places) {
    let x = noteX;
    if (bar.sectionName !== undefined) {
      const words = plainWords(
        bar.sectionName,
        lettered('section', size),
        Math.min(rightEdge, Math.max(LEAST_HEADING_PX, rightEdge - left)) - 2 * BOX_PAD_PX,
      );
      if (words.runs.length > 0) {
        const boxX = Math.max(0, Math.min(left, rightEdge - words.widthPx - 2 * BOX_PAD_PX));
        headings.push({ words, boxed: true, x: boxX + BOX_PAD_PX });
        x = Math.max(x, boxX + words.widthPx + 2 * BOX_PAD_PX + 12);
      }
    }
    if (bar.tempoText !== undefined) {
      x = Math.max(x, tempoX ?? x);
      const words = tempoWords(bar.tempoText, rightEdge * 0.6, lettered('tempo', size));
      if (words.runs.length > 0)
        headings.push({ words, boxed: false, x: Math.max(0, Math.min(x, rightEdge - words.widthPx)) });
    }
  }
  return headings;
}

/** Section names in boxes and tempo marks, in one row; one that would run into its neighbour goes a row higher. */
export function drawHeadings(
  sheet: Sheet,
  places: readonly BarPlace[],
  rightEdge: number,
  size: LetterSize | undefined,
): void {
  const headings = headingsOf(places, rightEdge, size);
  if (headings.length === 0) return;
  const letterPx = WORD_STYLES[lettered('section', size)].sizePx;
  // A box reaches so far under the base line of its letters, whatever their size.
  const boxDropPx = 0.4 * letterPx;
  const dropPx = boxDropPx + BOX_GAP_PX;
  let base = -10 - boxDropPx;
  for (const { words, x } of headings)
    base = Math.min(base, topOf(sheet.ink, x - BOX_PAD_PX, x + words.widthPx + BOX_PAD_PX) - dropPx);
  const rowPx = letterPx + dropPx;
  const rowEnds: number[] = [];
  for (const { words, boxed, x } of headings) {
    let row = rowEnds.findIndex((end) => x - BOX_PAD_PX >= end + 6);
    if (row < 0) row = rowEnds.length;
    rowEnds[row] = x + words.widthPx + BOX_PAD_PX;
    const y = base - row * rowPx;
    drawWords(sheet, words, x, y);
    if (boxed) {
      const [left, right, top, bottom] = [x - BOX_PAD_PX, x + words.widthPx + BOX_PAD_PX, y - letterPx, y + boxDropPx];
      strokeQuietly(
        sheet,
        `M${point(left, top)}H${String(Math.round(right))}V${String(Math.round(bottom))}H${String(left)}z`,
        1.2,
      );
      addBox(sheet.ink, left, right, top, bottom);
    }
  }
}
