/** Rests at the ends of phrases in lines that harmony alone would hold through. */
import type { BarList, Line } from './compose.ts';
import { barNumbered } from '../write/bars.ts';
import type { Written } from '../write/shorthand.ts';

/** What sounds to the end of one of these bars stops a while before it: by default a quarter, to breathe or to lift the bow. */
export function lifted(bars: BarList, notes: Line, at: readonly number[], quarters = 1): Written[] {
  const ends = at.map((number) => barNumbered(bars, number)).map(({ start, length }) => start + length);
  return notes.map((note) => {
    const end = note.start + note.length;
    const stops = ends.some((each) => Math.abs(each - end) < 1e-6) && note.length > quarters;
    return stops ? { ...note, length: note.length - quarters } : note;
  });
}
