/** Dynamics and hairpins under a staff, and the names of those who play it. */
import type { DynamicLevel, DynamicMark, StaffName } from '../../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { STROKES_PX, requiredGlyph } from '../ink/glyph-table.ts';
import { addBox, bottomOf, topOf } from '../ink/ink.ts';
import type { Sheet } from '../ink/sheet.ts';
import { addLetters, drawGlyph, drawWords, strokeLine } from '../ink/sheet.ts';
import { inRows, plainWords } from '../ink/words.ts';

const LEVELS: Readonly<Record<DynamicLevel, string>> = {
  pp: '\uE52B',
  p: '\uE520',
  mp: '\uE52C',
  mf: '\uE52D',
  f: '\uE522',
  ff: '\uE52F',
};

const HALF_OPENING_PX = 5;
const NEXT_TO_PX = 5;
const SHORTEST_HAIRPIN_PX = 18;
/** Base line of the letters under the lowest staff line, at least. */
const BASE_Y = 62;
/** Base line of the letters over a staff under which words are sung (Gould, from memory). */
const ABOVE_Y = -12;
const CLEAR_PX = 6;
const ASCENT_PX = 12;
const DESCENT_PX = 5;
const MIDDLE_OF_LETTERS_PX = 4;

export interface LineOfMusic {
  /** Divisions where the line begins and ends. */
  readonly start: number;
  readonly end: number;
  /** x of a place in time, as the left edge of what stands there. */
  readonly xAt: (divisions: number) => number;
  /** Where its first note may stand, and its last bar line. */
  readonly left: number;
  readonly right: number;
}

interface PlacedMark {
  readonly left: number;
  readonly right: number;
  readonly draw: (base: number) => void;
}

function levelMark(sheet: Sheet, level: DynamicLevel, x: number): PlacedMark {
  const glyph = LEVELS[level];
  const { advance, top, bottom } = requiredGlyph(glyph).record;
  // The letters stand under the head, beginning a little before it (Gould, from memory).
  const left = x + 4 - advance / 2;
  return {
    left: left - 3,
    right: left + advance,
    draw: (base) => {
      drawGlyph(sheet, glyph, left, base);
      addLetters(sheet, { left, right: left + advance, top: base + top, bottom: base + bottom });
    },
  };
}

function hairpinMark(
  sheet: Sheet,
  mark: Extract<DynamicMark, { kind: 'hairpin' }>,
  line: LineOfMusic,
  edges: { readonly left: number; readonly right: number },
): PlacedMark {
  const grows = mark.direction === 'crescendo';
  // A hairpin that goes on over the end of a line is not quite closed there.
  const begun = mark.start < line.start;
  const goesOn = mark.end > line.end;
  const left = begun ? line.left : edges.left;
  const right = Math.max(left + SHORTEST_HAIRPIN_PX, goesOn ? line.right - 4 : edges.right);
  const from = (grows ? (begun ? 0.35 : 0) : begun ? 0.65 : 1) * HALF_OPENING_PX;
  const to = (grows ? (goesOn ? 0.65 : 1) : goesOn ? 0.35 : 0) * HALF_OPENING_PX;
  return {
    left,
    right,
    draw: (base) => {
      const y = base - MIDDLE_OF_LETTERS_PX;
      strokeLine(sheet, left, y - from, right, y - to, STROKES_PX.hairpin);
      strokeLine(sheet, left, y + from, right, y + to, STROKES_PX.hairpin);
    },
  };
}

/** Marks further apart than a whole note need not stand on one level. */
const TOGETHER_DIVISIONS = 4 * DIVISIONS_PER_QUARTER;

/** Marks of one staff in order; those that follow one another closely stand on one level. */
function chainsOf(marks: readonly DynamicMark[]): DynamicMark[][] {
  const chains: DynamicMark[][] = [];
  let end = -Infinity;
  for (const mark of marks) {
    const last = chains.at(-1);
    if (last !== undefined && mark.start <= end + TOGETHER_DIVISIONS) last.push(mark);
    else chains.push([mark]);
    end = Math.max(end, mark.kind === 'hairpin' ? mark.end : mark.start);
  }
  return chains;
}

/**
 * Draws the dynamics of one staff that fall into the line, below it, or above where words stand under it, and clear of its ink; what belongs
 * together stands on one level (E. Gould, Behind Bars, from memory).
 */
export function drawDynamics(sheet: Sheet, marks: readonly DynamicMark[], line: LineOfMusic, isSung: boolean): void {
  const here = marks
    .filter((mark) =>
      mark.kind === 'level'
        ? mark.start >= line.start && mark.start < line.end
        : mark.start < line.end && mark.end > line.start,
    )
    .sort((a, b) => a.start - b.start || (a.kind === 'level' ? -1 : 1));
  for (const chain of chainsOf(here)) {
    const levels = new Map<number, PlacedMark>();
    for (const mark of chain) {
      if (mark.kind === 'level') levels.set(mark.start, levelMark(sheet, mark.level, line.xAt(mark.start)));
    }
    const placed = [...levels.values()];
    for (const mark of chain) {
      if (mark.kind !== 'hairpin') continue;
      const before = levels.get(mark.start);
      const after = levels.get(mark.end);
      placed.push(
        hairpinMark(sheet, mark, line, {
          left: before === undefined ? line.xAt(mark.start) : before.right + NEXT_TO_PX,
          right: after === undefined ? line.xAt(mark.end) - NEXT_TO_PX : after.left - NEXT_TO_PX,
        }),
      );
    }
    let base = isSung ? ABOVE_Y : BASE_Y;
    for (const { left, right } of placed) {
      base = isSung
        ? Math.min(base, topOf(sheet.ink, left, right) - CLEAR_PX - DESCENT_PX)
        : Math.max(base, bottomOf(sheet.ink, left, right) + CLEAR_PX + ASCENT_PX);
    }
    for (const mark of placed) mark.draw(base);
  }
}

/** Height of a name's letters, and the white over and under them: half a space (custom). */
const NAME_ASCENT_PX = 12;
const NAME_CLEAR_PX = 5;

/** From row to row of one name. */
const NAME_ROW_PX = 16;
/** So far to the left of its place a name may begin; what needs more is set in rows, the longest of which are no shorter than this. */
const MOST_LEFT_PX = 24;
const LEAST_ROW_PX = 150;

/** A name in rows of at most so many pixels, broken before `+` and after a comma, where it can be. */
function rowsOf(text: string, mostPx: number): readonly string[] {
  return inRows(text.split(/(?<=,)\s+|\s+(?=\+\s)/), 'cue', mostPx);
}

/** Draws names over or under a staff, each clear of the ink there; none leaves the line at the right or begins long before its place. */
export function drawNames(sheet: Sheet, names: readonly StaffName[], line: LineOfMusic, rightEdge: number): void {
  for (const { start, text, place } of names) {
    const wanted = line.xAt(start);
    const room = Math.max(LEAST_ROW_PX, rightEdge - wanted);
    const isLong = plainWords(text, 'cue', rightEdge * 0.6).widthPx > room + MOST_LEFT_PX;
    const rows = (isLong ? rowsOf(text, room) : [text])
      .map((row) => plainWords(row, 'cue', rightEdge * 0.6))
      .filter(({ runs }) => runs.length > 0);
    if (rows.length === 0) continue;
    const widthPx = Math.max(...rows.map((words) => words.widthPx));
    const x = Math.max(0, Math.min(wanted, rightEdge - widthPx));
    const more = (rows.length - 1) * NAME_ROW_PX;
    const last =
      place === 'above'
        ? Math.min(-9, topOf(sheet.ink, x, x + widthPx) - NAME_CLEAR_PX)
        : Math.max(56, bottomOf(sheet.ink, x, x + widthPx) + NAME_ASCENT_PX + NAME_CLEAR_PX) + more;
    rows.forEach((words, index) => {
      drawWords(sheet, words, x, last - more + index * NAME_ROW_PX);
    });
    // A little white beside a name, so that the next one does not run into it.
    addBox(sheet.ink, x, x + widthPx + 4, last - more - NAME_ASCENT_PX, last);
  }
}
