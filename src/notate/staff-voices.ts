/** Lines of one staff in one bar brought into at most two voices; what does not fit is named. */
import type { HeadDraft, Segment } from './events.ts';
import { canBeWritten, snapSegments } from './events.ts';
import type { Line, LineNote } from './lines.ts';
import type { GridBar } from './score-time.ts';

/** More re-tied heads than this in a bar make a harmony unreadable; the line that causes them is left out. */
const MOST_TIES = 5;
const MOST_HEADS = 5;

export interface StaffContent {
  /** One or two voices, the upper first; empty where nothing sounds. */
  readonly voices: readonly (readonly Segment[])[];
  readonly leftOut: readonly string[];
}

function rhythmOf(line: Line): string {
  return [...new Set(line.notes.map((note) => `${String(note.from)}-${String(note.to)}`))].join(';');
}

function bordersOf(lines: readonly Line[], bar: GridBar): number[] {
  const borders = new Set<number>([0, bar.length]);
  for (const line of lines) {
    for (const note of line.notes) {
      borders.add(note.from);
      borders.add(note.to);
    }
  }
  return [...borders].sort((a, b) => a - b);
}

function headAt(notes: readonly LineNote[], from: number, to: number): HeadDraft {
  const first = notes[0] as LineNote;
  const ornament = notes.find((note) => note.ornament !== undefined)?.ornament;
  return {
    midi: first.midi,
    pitch: first.pitch,
    partIds: [...new Set(notes.flatMap((note) => note.partIds))],
    from: notes.every((note) => note.from < from || note.continues),
    to: notes.some((note) => note.to > to || (note.goesOn && note.to === to)),
    ...(ornament === undefined ? {} : { ornament }),
  };
}

/** Segments of lines taken together: a new one wherever anything starts or ends; what sounds on is tied. */
function slice(lines: readonly Line[], bar: GridBar): Segment[] {
  const borders = bordersOf(lines, bar);
  const segments: Segment[] = [];
  for (let index = 0; index + 1 < borders.length; index++) {
    const from = borders[index] ?? 0;
    const to = borders[index + 1] ?? 0;
    const sounding = new Map<number, LineNote[]>();
    for (const line of lines) {
      for (const note of line.notes) {
        if (note.from > from || note.to < to) continue;
        const known = sounding.get(note.midi);
        if (known === undefined) sounding.set(note.midi, [note]);
        else known.push(note);
      }
    }
    const heads = [...sounding.entries()].sort((a, b) => a[0] - b[0]).map(([, notes]) => headAt(notes, from, to));
    const last = segments.at(-1);
    const goesOn =
      last !== undefined &&
      last.heads.length === heads.length &&
      heads.every((head, place) => head.from && last.heads[place]?.midi === head.midi);
    if (goesOn) segments[segments.length - 1] = { from: last.from, to, heads: withEnds(last.heads, heads) };
    else segments.push({ from, to, heads });
  }
  return segments;
}

function withEnds(before: readonly HeadDraft[], after: readonly HeadDraft[]): HeadDraft[] {
  return before.map((head, index) => ({ ...head, to: after[index]?.to ?? false }));
}

/** Heads that would be tied inside the bar if the lines shared a voice: every border strictly inside a note costs one. */
function tiesInside(lines: readonly Line[], borders: readonly number[]): number {
  let ties = 0;
  for (const line of lines) {
    for (const note of line.notes) {
      for (const border of borders) if (border > note.from && border < note.to) ties++;
    }
  }
  return ties;
}

function fits(lines: readonly Line[], bar: GridBar, mostTies: number): boolean {
  const borders = bordersOf(lines, bar);
  return tiesInside(lines, borders) <= mostTies && canBeWritten(bar, borders);
}

/** Lines merged into one voice as far as the result can be read; the others are handed back. */
function merge(lines: readonly Line[], bar: GridBar, mostTies: number): { segments: Segment[]; refused: Line[] } {
  const taken: Line[] = [];
  const refused: Line[] = [];
  const rhythms = new Set<string>();
  for (const line of lines) {
    const rhythm = rhythmOf(line);
    if (taken.length === 0 || rhythms.has(rhythm) || fits([...taken, line], bar, mostTies)) {
      taken.push(line);
      rhythms.add(rhythm);
    } else refused.push(line);
  }
  return { segments: slice(taken, bar), refused };
}

/** Drops inner heads of chords that are too full, those first that double another head at the octave. */
function thin(segments: readonly Segment[], labels: ReadonlyMap<string, string>, leftOut: Set<string>): Segment[] {
  return segments.map((segment) => {
    const heads = [...segment.heads];
    while (heads.length > MOST_HEADS) {
      const inner = heads.slice(1, -1);
      const double = inner.find((head) => heads.some((other) => other !== head && (other.midi - head.midi) % 12 === 0));
      const dropped = double ?? inner[inner.length >> 1];
      if (dropped === undefined) break;
      heads.splice(heads.indexOf(dropped), 1);
      const names = dropped.partIds.map((id) => labels.get(id) ?? id).join(', ');
      leftOut.add(`${double === undefined ? 'inner note' : 'inner octave'} of ${names}`);
    }
    return { ...segment, heads };
  });
}

/** The voice may have lost heads that were to be tied; ties are settled when all bars are known. */
function finish(
  voices: readonly (readonly Segment[])[],
  bar: GridBar,
  labels: ReadonlyMap<string, string>,
  leftOut: Set<string>,
): StaffContent {
  const finished = voices
    .map((segments) => {
      const snapped = snapSegments(bar, segments);
      for (const lost of snapped.lost) {
        for (const head of lost.heads) {
          for (const id of head.partIds) leftOut.add(`a very short note of ${labels.get(id) ?? id}`);
        }
      }
      return thin(snapped.segments, labels, leftOut);
    })
    .filter((segments) => segments.some((segment) => segment.heads.length > 0));
  return { voices: finished, leftOut: [...leftOut] };
}

/** Staff of the background: `principal` is the voice that must stand, the top line of the upper staff or the bass of the lower. */
export function backgroundStaff(
  lines: readonly Line[],
  bar: GridBar,
  principal: 'top' | 'bass',
  labels: ReadonlyMap<string, string>,
): StaffContent {
  if (lines.length === 0) return { voices: [], leftOut: [] };
  const leftOut = new Set<string>();
  const sorted = [...lines].sort((a, b) => b.centre - a.centre);
  const order = principal === 'top' ? sorted : sorted.reverse();
  const first = order[0] as Line;
  const rhythm = rhythmOf(first);
  const split = order.findIndex((line) => rhythmOf(line) !== rhythm);
  const leading = split < 0 ? order : order.slice(0, split);
  const rest = split < 0 ? [] : order.slice(split);
  const { segments, refused } = merge(rest, bar, MOST_TIES);
  for (const line of refused) leftOut.add(`inner line of ${line.label}`);
  const main = slice(leading, bar);
  const voices = rest.length === 0 ? [main] : principal === 'top' ? [main, segments] : [segments, main];
  return finish(voices, bar, labels, leftOut);
}

/** Staff of the foreground: its upper voice alone, everything else below; only what cannot be written is left out. */
export function foregroundStaff(
  lines: readonly Line[],
  bar: GridBar,
  labels: ReadonlyMap<string, string>,
): StaffContent {
  if (lines.length === 0) return { voices: [], leftOut: [] };
  const leftOut = new Set<string>();
  const [upper, ...others] = [...lines].sort((a, b) => a.voice - b.voice || b.centre - a.centre);
  const { segments, refused } = merge(others, bar, Infinity);
  for (const line of refused) leftOut.add(`inner voice of ${line.label}`);
  const main = slice(upper === undefined ? [] : [upper], bar);
  return finish(others.length === 0 ? [main] : [main, segments], bar, labels, leftOut);
}
