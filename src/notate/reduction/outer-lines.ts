/** The highest and the lowest note that sound at each moment of a bar: a reduction has both. */
import type { Line, LineNote } from './lines.ts';

interface Moment {
  readonly at: number;
  high: number;
  low: number;
}

/** What is highest and lowest wherever a note begins in the bar or is held into it. */
function momentsOf(lines: readonly Line[]): Moment[] {
  const starts = new Set(lines.flatMap(({ notes }) => notes.map(({ from }) => from)));
  const moments = [...starts].sort((a, b) => a - b).map((at): Moment => ({ at, high: -Infinity, low: Infinity }));
  for (const { notes } of lines) {
    for (const note of notes) {
      for (const moment of moments) {
        if (moment.at >= note.to) break;
        if (moment.at < note.from) continue;
        moment.high = Math.max(moment.high, note.midi);
        moment.low = Math.min(moment.low, note.midi);
      }
    }
  }
  return moments;
}

function sounds({ from, to }: LineNote, at: number): boolean {
  return from <= at && at < to;
}

/** Of lines that are not to be written, those that have an outer note which no other has, by key; each such note is claimed by one. */
export function outerLines(lines: readonly Line[], isAway: (line: Line) => boolean): Set<string> {
  const needed = new Set<string>();
  const away = lines.filter(isAway);
  if (away.length === 0) return needed;
  const kept = lines.filter((line) => !isAway(line));
  const has = (own: readonly Line[], at: number, midi: number): Line | undefined =>
    own.find(({ notes }) => notes.some((note) => note.midi === midi && sounds(note, at)));
  for (const { at, high, low } of momentsOf(lines)) {
    for (const midi of [high, low]) {
      if (has(kept, at, midi) !== undefined) continue;
      const already = has(
        away.filter(({ key }) => needed.has(key)),
        at,
        midi,
      );
      const line = already ?? has(away, at, midi);
      if (line !== undefined) needed.add(line.key);
    }
  }
  return needed;
}

/** The lines with their outer notes marked; a note that a line of `before` has already is marked in none. */
export function withOuterMarked(lines: readonly Line[], before: readonly Line[]): Line[] {
  const marked = new Set<LineNote>();
  const noteAt = (own: readonly Line[], at: number, midi: number): LineNote | undefined => {
    for (const { notes } of own) {
      const found = notes.find((note) => note.midi === midi && sounds(note, at));
      if (found !== undefined) return found;
    }
    return undefined;
  };
  for (const { at, high, low } of momentsOf([...before, ...lines])) {
    for (const midi of [high, low]) {
      if (noteAt(before, at, midi) !== undefined) continue;
      const note = noteAt(lines, at, midi);
      if (note !== undefined) marked.add(note);
    }
  }
  if (marked.size === 0) return [...lines];
  return lines.map((line) => ({
    ...line,
    notes: line.notes.map((note) => (marked.has(note) ? { ...note, isOuter: true } : note)),
  }));
}
