/** Entries and exits in blocks of small words, at most a few side by side. */
import type { ScoreBar, ScoreCue } from '../../../model/music/written.ts';
import { STROKES_PX } from '../ink/glyph-table.ts';
import { topOf } from '../ink/ink.ts';
import type { PlacedWords } from '../bar-spacing/columns.ts';
import type { Sheet } from '../ink/sheet.ts';
import { drawWords, fillShape, point, strokeLine } from '../ink/sheet.ts';
import type { Words } from '../ink/words.ts';
import { inRows, plainWords } from '../ink/words.ts';

interface Cue {
  /** A handover and the rest of a long list of names have no sign of their own. */
  readonly kind: ScoreCue['kind'] | 'continued';
  readonly words: Words;
}

export interface CueBlock extends PlacedWords {
  /** Index of the staff over which it stands. */
  readonly staff: number;
  readonly rows: readonly (readonly Cue[])[];
}

const MOST_BLOCK_PX = 178;
const SIGN_PX = 12;
const CUE_GAP_PX = 9;
const ROW_PX = 17;
/** So far to the left of its moment names may begin where they would meet others. */
const MOST_SHIFT_PX = 24;

function signWidth({ kind }: Cue): number {
  return kind === 'lead' ? 0 : SIGN_PX;
}

function cueWidth(cue: Cue): number {
  return signWidth(cue) + cue.words.widthPx;
}

/** A list of names (`+Fl, Ob, Cl 1, 2`) too long for one row is broken between names, not between their numbers (`1st Horn, 2nd Horn` are names); a name too long by itself is cut. */
function rowsOfText(text: string): readonly string[] {
  return inRows(text.split(/(?<=,)\s+(?!\d+(?:,|$))/), 'cue', MOST_BLOCK_PX - SIGN_PX);
}

/** Cues of a bar, those of one moment over one staff in one block of rows. */
export function cueBlocks(bar: ScoreBar): readonly CueBlock[] {
  return [...new Set(bar.cues.map((cue) => cue.staff))].flatMap((staff) =>
    blocksOfStaff(
      bar.cues.filter((cue) => cue.staff === staff),
      staff,
    ),
  );
}

function blocksOfStaff(cues: readonly ScoreCue[], staff: number): readonly CueBlock[] {
  const byStart = new Map<number, Cue[]>();
  for (const cue of cues) {
    const text = cue.text.replace(/^-/, '\u2212');
    const list = byStart.get(cue.start) ?? [];
    rowsOfText(text).forEach((row, index) => {
      list.push({ kind: index === 0 ? cue.kind : 'continued', words: plainWords(row, 'cue', MOST_BLOCK_PX - SIGN_PX) });
    });
    byStart.set(cue.start, list);
  }
  return [...byStart.entries()]
    .sort(([a], [b]) => a - b)
    .map(([start, cues]) => {
      const rows: Cue[][] = [];
      let width = 0;
      let widest = 0;
      for (const cue of cues) {
        const row = rows.at(-1);
        const grown = width + CUE_GAP_PX + cueWidth(cue);
        if (row !== undefined && cue.kind !== 'continued' && grown <= MOST_BLOCK_PX) {
          row.push(cue);
          width = grown;
        } else {
          rows.push([cue]);
          width = cueWidth(cue);
        }
        widest = Math.max(widest, width);
      }
      return { staff, start, rows, words: { style: 'cue', runs: [], widthPx: widest }, mayRise: true };
    });
}

/** An entry points down into the staff, filled; an exit points up and away, open: told apart without reading and without colour. */
function drawSign(sheet: Sheet, kind: 'entry' | 'exit', x: number, y: number): void {
  if (kind === 'entry') {
    fillShape(sheet, `M${point(x, y - 9)}h8l-4 8z`, [
      [x, y - 9],
      [x + 8, y - 9],
      [x + 4, y - 1],
    ]);
  } else {
    strokeLine(sheet, x + 0.5, y - 1, x + 4, y - 8.6, STROKES_PX.stem);
    strokeLine(sheet, x + 4, y - 8.6, x + 7.5, y - 1, STROKES_PX.stem);
    strokeLine(sheet, x + 0.5, y - 1, x + 7.5, y - 1, STROKES_PX.stem);
  }
}

interface Standing {
  readonly block: CueBlock;
  readonly x: number;
  /** Rows over the base line of all. */
  readonly up: number;
}

function endOf({ block, x }: Pick<Standing, 'block' | 'x'>): number {
  return x + block.words.widthPx + CUE_GAP_PX;
}

/** Names that would run into what follows go a little to the left, or else stand above it: notes are not drawn apart for them. */
function standing(
  cues: readonly { readonly block: CueBlock; readonly x: number }[],
  rightEdge: number,
): readonly Standing[] {
  const fromLast = [...cues].sort((a, b) => b.x - a.x);
  const placed: Standing[] = [];
  for (const [index, { block, x: wanted }] of fromLast.entries()) {
    const before = fromLast[index + 1];
    const free = before === undefined ? 0 : endOf(before);
    const next = Math.min(rightEdge + CUE_GAP_PX, ...placed.map(({ x }) => x));
    const shifted = Math.min(wanted, next - CUE_GAP_PX - block.words.widthPx);
    const isNear = wanted - shifted <= MOST_SHIFT_PX && shifted >= Math.min(free, wanted);
    const x = Math.max(0, isNear ? shifted : Math.min(wanted, rightEdge - block.words.widthPx));
    const over = placed.filter((other) => other.x < endOf({ block, x }) && endOf(other) > x);
    placed.push({ block, x, up: Math.max(0, ...over.map(({ block: { rows }, up }) => up + rows.length)) });
  }
  return placed.reverse();
}

/** Draws blocks at their x above the ink of the staff, all on one base line; none leaves the page at the right. */
export function drawCues(
  sheet: Sheet,
  cues: readonly { readonly block: CueBlock; readonly x: number }[],
  rightEdge: number,
): void {
  if (cues.length === 0) return;
  const blocks = standing(cues, rightEdge);
  let base = -9;
  for (const { block, x } of blocks) base = Math.min(base, topOf(sheet.ink, x, x + block.words.widthPx) - 6);
  for (const { block, x, up } of blocks) {
    block.rows.forEach((row, rowIndex) => {
      let left = x;
      const y = base - (up + block.rows.length - 1 - rowIndex) * ROW_PX;
      for (const cue of row) {
        if (cue.kind === 'entry' || cue.kind === 'exit') drawSign(sheet, cue.kind, left, y);
        drawWords(sheet, cue.words, left + signWidth(cue), y);
        left += cueWidth(cue) + CUE_GAP_PX;
      }
    });
  }
}
