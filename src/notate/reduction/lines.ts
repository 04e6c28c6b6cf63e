/** Lines of a bar: what one voice of one part plays in it. */
import type { Part } from '../../model/music/arrangement.ts';
import type { SpelledPitch } from '../../model/music/pitch.ts';
import type { OrnamentSigns, WrittenPart } from '../../model/music/written.ts';
import type { GridBar, ScoreTime } from '../score-time/score-time.ts';
import { barIndexAtDivision } from '../score-time/score-time.ts';

export interface LineNote {
  /** Offsets in the bar, in divisions. */
  readonly from: number;
  readonly to: number;
  readonly midi: number;
  readonly pitch: SpelledPitch;
  /** Began in an earlier bar; goes on in the next. */
  readonly continues: boolean;
  readonly goesOn: boolean;
  readonly partIds: readonly string[];
  /** Keys that sound, where they are not `midi` alone: it is written where its player reads it. */
  readonly sounds?: readonly number[];
  readonly ornament?: OrnamentSigns;
  /** An octave of a doubling, written with the line that is doubled: it goes where that goes. */
  readonly isAdded?: boolean;
  /** Nothing else that is written has what is highest or lowest here. */
  readonly isOuter?: boolean;
}

export interface Line {
  /** The same from bar to bar. */
  readonly key: string;
  readonly partId: string;
  readonly label: string;
  readonly staff: number;
  readonly voice: number;
  /** Sorted by from, then midi. */
  readonly notes: readonly LineNote[];
  /** Mean pitch weighted by duration. */
  readonly centre: number;
  /** Semitones from what is written to the lowest that sounds with it: a part that doubles it unwritten, or the line where it is read octaves away. */
  readonly depth: number;
}

/** Mean pitch weighted by duration, as a line has it. */
export function centreOf(notes: readonly LineNote[]): number {
  let sum = 0;
  let weight = 0;
  for (const note of notes) {
    sum += note.midi * (note.to - note.from);
    weight += note.to - note.from;
  }
  return weight === 0 ? 60 : sum / weight;
}

function lineOf(part: Part, staff: number, voice: number, notes: LineNote[]): Line {
  // Where one player of a part holds a key that another strikes again, the stroke is written.
  notes.sort((a, b) => a.from - b.from || a.midi - b.midi || Number(a.continues) - Number(b.continues));
  const distinct = notes.filter((note, index) => {
    const before = notes[index - 1];
    return before?.from !== note.from || before.midi !== note.midi;
  });
  return {
    key: `${part.id}:${String(staff)}:${String(voice)}`,
    partId: part.id,
    label: part.abbreviation,
    staff,
    voice,
    notes: distinct,
    centre: centreOf(distinct),
    depth: 0,
  };
}

/** Lines by bar index, in order of parts, then staff and voice. Unpitched parts have none. */
export function linesByBar(parts: readonly Part[], written: readonly WrittenPart[], time: ScoreTime): Line[][] {
  const bars: Line[][] = time.bars.map(() => []);
  for (const [index, part] of parts.entries()) {
    if (part.unpitched) continue;
    const collected = new Map<number, Map<number, LineNote[]>>();
    for (const note of written[index]?.notes ?? []) {
      for (let at = barIndexAtDivision(time, note.start); at < time.bars.length; at++) {
        const bar = time.bars[at] as GridBar;
        const end = note.start + note.length;
        if (bar.start >= end) break;
        const voices = collected.get(at) ?? new Map<number, LineNote[]>();
        const voice = note.staff * 16 + note.voice;
        const notes = voices.get(voice) ?? [];
        notes.push({
          from: Math.max(0, note.start - bar.start),
          to: Math.min(bar.length, end - bar.start),
          midi: note.midi,
          pitch: note.pitch,
          continues: note.start < bar.start,
          goesOn: end > bar.start + bar.length,
          partIds: [part.id],
          ...(note.ornament === undefined ? {} : { ornament: note.ornament }),
        });
        voices.set(voice, notes);
        collected.set(at, voices);
      }
    }
    for (const [at, voices] of collected) {
      for (const [voice, notes] of [...voices.entries()].sort((a, b) => a[0] - b[0])) {
        bars[at]?.push(lineOf(part, voice >> 4, voice & 15, notes));
      }
    }
  }
  return bars;
}

/** The lowest line of the bass staff, G2, and the second ledger line above the treble staff, C6. */
const LOWEST_AT_PITCH = 43;
const HIGHEST_AT_PITCH = 84;

/**
 * Semitones from what the short score has of a part to its sound, whole octaves. A double bass, bass guitar or contrabassoon that lies below the
 * bass staff on the whole, a glockenspiel or piccolo far above the treble staff, stand where their players read them, and `8vb` or `15ma`
 * beside the name says it (common practice of short scores, no source); all else stands as it sounds.
 */
function soundsBy({ notes, transposition: { semitones }, unpitched }: Part): number {
  if (unpitched || semitones === 0 || semitones % 12 !== 0 || notes.length === 0) return 0;
  const mean = notes.reduce((sum, { midi }) => sum + midi, 0) / notes.length;
  return (semitones < 0 ? mean < LOWEST_AT_PITCH : mean > HIGHEST_AT_PITCH) ? semitones : 0;
}

export type SoundsBy = (partId: string) => number;

/** `soundsBy` of each of the parts. */
export function soundsByOf(parts: readonly Part[]): SoundsBy {
  const known = new Map(parts.map((part) => [part.id, soundsBy(part)]));
  return (partId) => known.get(partId) ?? 0;
}

/** A label with its octave: `D.B. 8vb`. */
export function octaveLabel(label: string, semitones: number): string {
  return semitones === 0 ? label : `${label} ${octaveMark(semitones)}`;
}

function noteAsRead(note: LineNote, by: number): LineNote {
  if (by === 0) return note;
  const moved = ({ octave, ...pitch }: SpelledPitch): SpelledPitch => ({ ...pitch, octave: octave - by / 12 });
  const graces = note.ornament?.graces.map((grace) => ({ ...grace, midi: grace.midi - by, pitch: moved(grace.pitch) }));
  return {
    ...note,
    midi: note.midi - by,
    pitch: moved(note.pitch),
    sounds: [note.midi],
    ...(note.ornament === undefined ? {} : { ornament: { ...note.ornament, graces: graces ?? [] } }),
  };
}

/** Notes that have come to stand at one place as one: all who play it, all that sounds. */
function together(notes: readonly LineNote[]): LineNote[] {
  const found: LineNote[] = [];
  for (const note of [...notes].sort((a, b) => Number(a.isAdded === true) - Number(b.isAdded === true))) {
    const place = found.findIndex(({ from, midi }) => from === note.from && midi === note.midi);
    const twin = found[place];
    if (twin === undefined) {
      found.push(note);
      continue;
    }
    const last = note.to > twin.to ? note : twin;
    found[place] = {
      ...twin,
      to: last.to,
      goesOn: last.goesOn,
      partIds: [...new Set([...twin.partIds, ...note.partIds])],
      sounds: [...new Set([...(twin.sounds ?? [twin.midi]), ...(note.sounds ?? [note.midi])])],
    };
  }
  return found.sort((a, b) => a.from - b.from || a.midi - b.midi);
}

/** A line of the background at the octave in which its player reads it, and the octave of a doubling at that of who plays it. */
function lineAsRead(line: Line, soundsByPart: SoundsBy): Line {
  const own = soundsByPart(line.partId);
  if (own === 0 && line.notes.every(({ isAdded }) => isAdded !== true)) return line;
  const byOf = ({ isAdded, partIds: [first = '', ...others] }: LineNote): number => {
    if (isAdded !== true) return own;
    const by = soundsByPart(first);
    return others.every((id) => soundsByPart(id) === by) ? by : 0;
  };
  const moved = line.notes.map(byOf);
  if (moved.every((by) => by === 0)) return line;
  const notes = together(line.notes.map((note, index) => noteAsRead(note, moved[index] ?? 0)));
  return {
    ...line,
    label: octaveLabel(line.label, own),
    notes,
    centre: centreOf(notes),
    depth: Math.min(line.depth + own, ...moved),
  };
}

/** Onsets and ends (in divisions) so near are those of one line of two players. Our convention. */
const NEAR_ONSET = 60;
const NEAR_END = 240;

/** Lines of a bar at the octave in which they are read; one that then falls on another of its block stands in that, and is named with it. */
export function linesAsRead(
  lines: readonly Line[],
  soundsByPart: SoundsBy,
  blockOf: (partId: string) => number,
): Line[] {
  const read = lines.map((line) => lineAsRead(line, soundsByPart));
  const kept = [...read];
  for (const line of read) {
    if (soundsByPart(line.partId) === 0) continue;
    const twinOf = (note: LineNote, other: Line): LineNote | undefined =>
      other.notes.find(
        (twin) =>
          twin.midi === note.midi &&
          Math.abs(twin.from - note.from) <= NEAR_ONSET &&
          Math.abs(twin.to - note.to) <= NEAR_END,
      );
    const place = kept.findIndex(
      (other) =>
        soundsByPart(other.partId) === 0 &&
        blockOf(other.partId) === blockOf(line.partId) &&
        other.notes.length === line.notes.length &&
        line.notes.every((note) => twinOf(note, other) !== undefined),
    );
    const host = kept[place];
    if (host === undefined) continue;
    kept[place] = {
      ...host,
      label: `${host.label} + ${line.label}`,
      depth: Math.min(host.depth, line.depth),
      notes: host.notes.map((note) => {
        const twin = line.notes.find((own) => twinOf(own, { ...host, notes: [note] }) !== undefined);
        if (twin === undefined) return note;
        // Struck by whoever is first: what sounds alone until the other comes in would be missing.
        const from = Math.min(note.from, twin.from);
        return (
          together([
            { ...note, from },
            { ...twin, from },
          ])[0] ?? note
        );
      }),
    };
    kept.splice(kept.indexOf(line), 1);
  }
  return kept;
}

/** How a doubling at this distance is marked: `8va`, `8vb`, `15ma`, `15mb`, further in words, as no sign says it; '' at the unison. */
export function octaveMark(semitones: number): string {
  const octaves = Math.round(semitones / 12);
  if (octaves === 0) return '';
  if (Math.abs(octaves) > 2) return `${String(Math.abs(octaves))} octaves ${octaves > 0 ? 'above' : 'below'}`;
  const figure = octaves * 7;
  const count = Math.abs(figure) + 1;
  return `${String(count)}${octaves > 0 ? (count === 8 ? 'va' : 'ma') : count === 8 ? 'vb' : 'mb'}`;
}
