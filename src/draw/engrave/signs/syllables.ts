/**
 * Words under a staff: each syllable centred under its head, hyphens between those of a word, a line where a last one is sung on (E. Gould,
 * Behind Bars, from memory). All of a staff stand on one level in a system.
 */
import { groupedBy } from '../../../model/grouped.ts';
import type { ScoreBar, ScoreSyllable } from '../../../model/music/written.ts';
import type { PlacedWords } from '../bar-spacing/columns.ts';
import type { LineOfMusic } from './dynamics.ts';
import { bottomOf } from '../ink/ink.ts';
import type { Sheet } from '../ink/sheet.ts';
import { drawWords, strokeLine } from '../ink/sheet.ts';
import type { Words } from '../ink/words.ts';
import { plainWords } from '../ink/words.ts';

/** What is wider is cut: it is a line of text, no syllable. */
const MOST_PX = 130;
/** From the left edge of a column to the middle of a head. */
const HEAD_MIDDLE_PX = 6;
const HEAD_PX = 12;
/** Base line of the letters under the lowest staff line, at least; their height; the white over them. */
const BASE_Y = 60;
const ASCENT_PX = 11;
const CLEAR_PX = 5;
const HYPHEN_PX = 5;
const HYPHEN_ROOM_PX = 6;
const BETWEEN_HYPHENS_PX = 110;
const MIDDLE_OF_LETTERS_PX = 4;
const LINE_PX = 1;
const SHORTEST_LINE_PX = 9;
/** A line of music begins so far before its first note, where a hyphen may stand. */
const LEAD_PX = 12;

export interface PlacedSyllable extends PlacedWords {
  readonly syllable: ScoreSyllable;
}

function goesOn({ place }: ScoreSyllable): boolean {
  return place === 'begin' || place === 'middle';
}

/** The syllables of a bar as words that need room to both sides, a list for each staff that has any. */
export function syllableLanes({ words = [] }: ScoreBar): readonly (readonly PlacedSyllable[])[] {
  const placed = words.flatMap((syllable): PlacedSyllable[] => {
    const set = plainWords(syllable.text, 'lyric', MOST_PX);
    if (set.runs.length === 0) return [];
    const leftPx = Math.max(0, set.widthPx / 2 - HEAD_MIDDLE_PX);
    const morePx = goesOn(syllable) ? HYPHEN_ROOM_PX : 0;
    return [{ syllable, words: set, start: syllable.start, leftPx, morePx }];
  });
  return [...groupedBy(placed, ({ syllable }) => syllable.staff).values()];
}

interface SetSyllable {
  readonly syllable: ScoreSyllable;
  readonly words: Words;
  readonly left: number;
  readonly right: number;
}

function drawHyphens(sheet: Sheet, from: number, to: number, base: number): void {
  const count = Math.max(1, Math.floor((to - from) / BETWEEN_HYPHENS_PX));
  if (to - from < HYPHEN_PX) return;
  const y = base - MIDDLE_OF_LETTERS_PX;
  for (let index = 0; index < count; index++) {
    const middle = from + ((index + 0.5) * (to - from)) / count;
    strokeLine(sheet, middle - HYPHEN_PX / 2, y, middle + HYPHEN_PX / 2, y, LINE_PX + 0.2);
  }
}

/** What joins a syllable to the next one of its line, or to the end of it, from where it ends or from where a later line begins. */
function drawJoin(
  sheet: Sheet,
  syllable: ScoreSyllable,
  from: number,
  next: SetSyllable | undefined,
  base: number,
  line: LineOfMusic,
): void {
  const { until } = syllable;
  if (goesOn(syllable)) drawHyphens(sheet, from, next?.left ?? line.right, base);
  else if (until !== undefined) {
    const wanted = until < line.end ? line.xAt(until) + HEAD_PX : line.right - 4;
    const to = Math.min(wanted, (next?.left ?? line.right) - 3);
    if (to - from >= SHORTEST_LINE_PX) strokeLine(sheet, from + 2, base, to, base, LINE_PX);
  }
}

/**
 * Draws the words of one staff in a system, clear of its ink; `placed` with the left edges of their columns. `before` is the last syllable of
 * the staff in the lines before.
 */
export function drawSyllables(
  sheet: Sheet,
  placed: readonly { readonly placed: PlacedSyllable; readonly x: number }[],
  before: ScoreSyllable | undefined,
  line: LineOfMusic,
): void {
  const set = placed.map(({ placed: { syllable, words }, x }): SetSyllable => {
    const left = Math.max(0, x + HEAD_MIDDLE_PX - words.widthPx / 2);
    return { syllable, words, left, right: left + words.widthPx };
  });
  // What the line before has left to be sung: its hyphen stands again before the next syllable, its line goes on.
  const from = line.left - LEAD_PX;
  const arrives = before !== undefined && (goesOn(before) ? set.length > 0 : (before.until ?? 0) >= line.start);
  const edges = arrives ? [{ left: from, right: set[0]?.left ?? line.right }, ...set] : set;
  let base = BASE_Y;
  for (const { left, right } of edges) base = Math.max(base, bottomOf(sheet.ink, left, right) + CLEAR_PX + ASCENT_PX);
  if (arrives) drawJoin(sheet, before, from, set[0], base, line);
  for (const [index, here] of set.entries()) {
    drawWords(sheet, here.words, here.left, base);
    drawJoin(sheet, here.syllable, here.right, set[index + 1], base, line);
  }
}
