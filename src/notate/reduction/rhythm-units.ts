/** Lines of one staff made alike where they nearly are: what is let go a little before the rest is written as held with it. */
import { splitStraight } from '../note-values/note-values.ts';
import type { Line, LineNote } from './lines.ts';
import type { GridBar } from '../score-time/score-time.ts';

/** An end this much earlier (an eighth; a quarter after a note of three quarters) is no end of its own. Our convention. */
const NEAR_END = 240;
const NEAR_END_LONG = 480;
const SHORT = 480;
const LONG = 1440;
/** What is held on is so many times as long as what is added. Our convention. */
const MOST_OF_ITSELF = 3;

/** End most often heard among notes that start together, the later one where two are as frequent. */
function commonEnds(lines: readonly Line[]): ReadonlyMap<number, readonly number[]> {
  const counts = new Map<number, Map<number, number>>();
  for (const { notes } of lines) {
    for (const { from, to } of notes) {
      const ends = counts.get(from) ?? new Map<number, number>();
      ends.set(to, (ends.get(to) ?? 0) + 1);
      counts.set(from, ends);
    }
  }
  return new Map(
    [...counts].map(([from, ends]) => [from, [...ends].sort((a, b) => b[1] - a[1] || b[0] - a[0]).map(([end]) => end)]),
  );
}

function alignedNote(
  note: LineNote,
  next: LineNote | undefined,
  endsOf: () => readonly number[],
  figuresTo: (end: number) => number,
): LineNote {
  if (note.goesOn || note.to - note.from < SHORT) return note;
  const reach = note.to - note.from >= LONG ? NEAR_END_LONG : NEAR_END;
  // A quarter and its rest are no dotted quarter that was let go early.
  if (note.to - note.from < MOST_OF_ITSELF * reach) return note;
  const most = figuresTo(note.to);
  // An end that needs a tie where there was none makes nothing alike.
  const end = endsOf().find(
    (other) =>
      other > note.to &&
      other - note.to <= reach &&
      other <= (next?.from ?? Infinity) &&
      (note.continues || figuresTo(other) <= most),
  );
  if (end === undefined) return note;
  const { ornament, ...plain } = note;
  // A dot is said of the value that was played.
  if (ornament === undefined) return { ...plain, to: end };
  const { staccato, ...signs } = ornament;
  return { ...plain, to: end, ornament: staccato === true ? signs : ornament };
}

/** Lines of a bar with their ends brought together. */
export function alignEnds(lines: readonly Line[], bar: GridBar): Line[] {
  if (lines.length < 2) return [...lines];
  const ends = commonEnds(lines);
  const all = lines.flatMap(({ notes }) => notes);
  return lines.map((line) => ({
    ...line,
    notes: line.notes.map((note, index) => {
      const next = line.notes.slice(index + 1).find((other) => other.from > note.from);
      const figuresTo = (end: number): number => splitStraight(bar, note.from, end, false).length;
      // Only with what sounds already: a bass that is let go when the afterbeat begins is not held through it.
      const endsOf = (): number[] => {
        const heldOn = all.filter(({ from }) => from < note.to).map(({ to }) => to);
        return [...(ends.get(note.from) ?? []), ...[...new Set(heldOn)].sort((a, b) => a - b)];
      };
      return alignedNote(note, next, endsOf, figuresTo);
    }),
  }));
}

/** What two lines must share to stand in one voice without a tie. */
export function rhythmOf(line: Line): string {
  return [...new Set(line.notes.map((note) => `${String(note.from)}-${String(note.to)}`))].join(';');
}

/** Lines of one rhythm. */
export interface Unit {
  readonly lines: readonly Line[];
  readonly centre: number;
}

function isInUnison(note: LineNote, other: LineNote): boolean {
  return other.midi === note.midi && other.from === note.from && other.continues === note.continues;
}

/**
 * Lines without those that play nothing but what another has at the same pitch and for as long: they add a player, not a note. Their
 * parts stand at the notes they share. Lines that stand for a doubling (`hosts`, by key) go before the others.
 */
export function withoutUnisons(lines: readonly Line[], hosts: ReadonlySet<string>): Line[] {
  const rank = (line: Line): number => (hosts.has(line.key) ? 0 : 1);
  const kept = [...lines].sort((a, b) => rank(a) - rank(b) || timeOf(b) - timeOf(a));
  for (let index = kept.length - 1; index > 0; index--) {
    const line = kept[index];
    const host = kept.slice(0, index).find((other) => line?.notes.every((note) => hasTwin(other, note)) === true);
    if (line === undefined || host === undefined) continue;
    const notes = host.notes.map((note) => {
      const twin = line.notes.find((own) => isInUnison(own, note));
      return twin === undefined ? note : { ...note, partIds: [...new Set([...note.partIds, ...twin.partIds])] };
    });
    kept[kept.indexOf(host)] = { ...host, notes };
    kept.splice(index, 1);
  }
  const order = new Map(lines.map((line, index) => [line.key, index]));
  return kept.sort((a, b) => (order.get(a.key) ?? 0) - (order.get(b.key) ?? 0));
}

function timeOf({ notes }: Line): number {
  return notes.reduce((sum, note) => sum + note.to - note.from, 0);
}

function hasTwin(host: Line, note: LineNote): boolean {
  return host.notes.some((other) => isInUnison(note, other) && other.to >= note.to && (other.goesOn || !note.goesOn));
}

/** Lines grouped by rhythm, from the highest unit down. */
export function unitsOf(lines: readonly Line[]): Unit[] {
  const byRhythm = new Map<string, Line[]>();
  for (const line of lines) {
    const key = rhythmOf(line);
    const known = byRhythm.get(key);
    if (known === undefined) byRhythm.set(key, [line]);
    else known.push(line);
  }
  return [...byRhythm.values()]
    .map((own) => ({ lines: own, centre: own.reduce((sum, line) => sum + line.centre, 0) / own.length }))
    .sort((a, b) => b.centre - a.centre);
}
