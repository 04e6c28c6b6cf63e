/** Lines of one staff in one bar brought into at most two voices; what does not fit is named. */
import type { OrnamentSigns } from '../../model/music/written.ts';
import { joinLabels } from './cues.ts';
import type { HeadDraft, Segment } from '../note-values/tuplets.ts';
import { canBeWritten, snapSegments } from '../note-values/tuplets.ts';
import type { Line, LineNote } from './lines.ts';
import { centreOf } from './lines.ts';
import { alignEnds, unitsOf } from './rhythm-units.ts';
import type { GridBar } from '../score-time/score-time.ts';
import { bassOf } from './staff-split.ts';
import { bordersOf, twoVoices } from './voice-choice.ts';

/** Heads of one voice of the background at once; an octave at the edge is one more. */
const MOST_HEADS = 4;

export interface StaffContent {
  /** One or two voices, the upper first; empty where nothing sounds. */
  readonly voices: readonly (readonly Segment[])[];
  /** Index of the voice whose rests are always printed. */
  readonly principal: 0 | 1;
  readonly leftOut: readonly string[];
}

/** Signs of a pitch that several may play at once; a dot where all of them play it short. */
function ornamentOf(notes: readonly LineNote[]): OrnamentSigns | undefined {
  const isShort = notes.every((note) => note.ornament?.staccato === true);
  const signs = notes.find(({ ornament }) => ornament !== undefined && ornament.staccato !== true)?.ornament;
  return signs ?? (isShort ? notes[0]?.ornament : undefined);
}

function headAt(notes: readonly LineNote[], from: number, to: number): HeadDraft {
  const first = notes[0] as LineNote;
  const ornament = ornamentOf(notes);
  const sounds = notes.some((note) => note.sounds !== undefined)
    ? [...new Set(notes.flatMap((note) => note.sounds ?? [note.midi]))]
    : undefined;
  return {
    midi: first.midi,
    pitch: first.pitch,
    partIds: [...new Set(notes.flatMap((note) => note.partIds))],
    from: notes.every((note) => note.from < from || note.continues),
    to: notes.some((note) => note.to > to || (note.goesOn && note.to === to)),
    ...(ornament === undefined ? {} : { ornament }),
    ...(sounds === undefined ? {} : { sounds }),
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

/** Who plays notes, in short. */
function playersOf(
  notes: readonly { readonly partIds: readonly string[] }[],
  labels: ReadonlyMap<string, string>,
): string {
  const ids = [...new Set(notes.flatMap(({ partIds }) => partIds))];
  return joinLabels(ids.map((id) => labels.get(id) ?? id));
}

/** Whether the highest or the lowest head stands at the octave of another. */
function isFramed(heads: readonly HeadDraft[]): boolean {
  const edges = [heads[0]?.midi ?? 0, heads.at(-1)?.midi ?? 0];
  return heads.some(({ midi }) => edges.some((edge) => Math.abs(edge - midi) === 12));
}

/** Drops inner heads of chords that are too full, those first that double another head at the octave. */
function thin(
  segments: readonly Segment[],
  labels: ReadonlyMap<string, string>,
  leftOut: Set<string>,
  mostHeads: number,
): Segment[] {
  return segments.map((segment) => {
    const heads = [...segment.heads];
    const most = mostHeads + (isFramed(heads) ? 1 : 0);
    while (heads.length > most) {
      const inner = heads.slice(1, -1);
      const double = inner.find((head) => heads.some((other) => other !== head && (other.midi - head.midi) % 12 === 0));
      const dropped = double ?? inner[inner.length >> 1];
      if (dropped === undefined) break;
      heads.splice(heads.indexOf(dropped), 1);
      const names = playersOf([dropped], labels);
      leftOut.add(`${double === undefined ? 'inner note' : 'octave'} of ${names}`);
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
  mostHeads: number,
): StaffContent {
  const finished = voices
    .map((segments) => {
      const snapped = snapSegments(bar, segments);
      for (const lost of snapped.lost) {
        for (const head of lost.heads) {
          for (const id of head.partIds) leftOut.add(`a very short note of ${labels.get(id) ?? id}`);
        }
      }
      return thin(snapped.segments, labels, leftOut, mostHeads);
    })
    .filter((segments) => segments.some((segment) => segment.heads.length > 0));
  return { voices: finished, principal: 0, leftOut: [...leftOut] };
}

/** The highest line; not a pad that holds what another line strikes with it and moves on from. */
function movingTop(sorted: readonly Line[]): Line | undefined {
  const [top] = sorted;
  const moving = sorted.find(
    ({ notes }) =>
      notes.length > (top?.notes.length ?? 0) &&
      top?.notes.every((held) => notes.some(({ midi, from }) => midi === held.midi && from === held.from)),
  );
  return moving ?? top;
}

/**
 * Staff of the background: `principal` is the line that always stands, the top one of the upper staff or the bass of the lower. The
 * others join its voice or a second one; what would make the staff unreadable is left out, what is heard elsewhere first.
 */
export function backgroundStaff(
  lines: readonly Line[],
  bar: GridBar,
  principal: 'top' | 'bass',
  labels: ReadonlyMap<string, string>,
): StaffContent {
  if (lines.length === 0) return { voices: [], principal: 0, leftOut: [] };
  const leftOut = new Set<string>();
  const sorted = alignEnds(lines, bar).sort((a, b) => b.centre - a.centre);
  const leader = principal === 'top' ? movingTop(sorted) : bassOf(sorted);
  const chosen = twoVoices(unitsOf(sorted), leader, principal === 'top' ? 0 : 1, bar);
  for (const line of chosen.refused) leftOut.add(`inner line of ${playersOf(line.notes, labels)}`);
  const voices = chosen.voices.filter((own) => own.length > 0).map((own) => slice(own, bar));
  return { ...finish(voices, bar, labels, leftOut, MOST_HEADS), principal: chosen.principal };
}

/** A tune that one part ends and another begins in one bar is one voice. */
function followOneAnother(lines: readonly Line[]): boolean {
  const spans = lines
    .map(({ notes }) => ({
      from: Math.min(...notes.map((note) => note.from)),
      to: Math.max(...notes.map((note) => note.to)),
    }))
    .sort((a, b) => a.from - b.from);
  return spans.every((span, index) => span.from >= (spans[index - 1]?.to ?? 0));
}

function inTurn(one: Line, other: Line): boolean {
  return one.notes.every((note) => other.notes.every(({ from, to }) => to <= note.from || from >= note.to));
}

/**
 * Staves of the ensemble in which what a player shares between his hands, one note after another, stands on one staff instead: on that of either hand
 * in turn. None where nobody does.
 */
export function withHandsJoined(placed: readonly (readonly Line[])[]): Line[][][] {
  const places = placed.flatMap((lines, staff) => lines.map((line) => ({ line, staff })));
  return places.flatMap(({ line, staff }) =>
    places
      .filter((other) => other.staff !== staff && other.line.partId === line.partId && inTurn(line, other.line))
      .map((other) => {
        const notes = [...line.notes, ...other.line.notes].sort((a, b) => a.from - b.from || a.midi - b.midi);
        const joined: Line = { ...line, notes, centre: centreOf(notes) };
        return placed.map((lines) =>
          lines.flatMap((own) => (own === line ? [joined] : own === other.line ? [] : [own])),
        );
      }),
  );
}

/** Staff of the foreground: its upper voice alone, everything else below; only what cannot be written is left out. */
export function foregroundStaff(
  lines: readonly Line[],
  bar: GridBar,
  labels: ReadonlyMap<string, string>,
): StaffContent {
  if (lines.length === 0) return { voices: [], principal: 0, leftOut: [] };
  const leftOut = new Set<string>();
  if (followOneAnother(lines)) return finish([slice(lines, bar)], bar, labels, leftOut, Infinity);
  const [upper, ...others] = [...lines].sort((a, b) => a.voice - b.voice || b.centre - a.centre);
  const taken: Line[] = [];
  for (const line of others) {
    if (taken.length === 0 || canBeWritten(bar, bordersOf([...taken, line], bar))) taken.push(line);
    else leftOut.add(`inner voice of ${line.label}`);
  }
  const main = slice(upper === undefined ? [] : [upper], bar);
  return finish(taken.length === 0 ? [main] : [main, slice(taken, bar)], bar, labels, leftOut, Infinity);
}
