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
  /** Semitones (0 or less) from the line to the lowest part that doubles it unwritten. */
  readonly depth: number;
}

function centreOf(notes: readonly LineNote[]): number {
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

/** How a doubling at this distance is marked: `8va`, `8vb`, `15ma`, `15mb`, further in words, as no sign says it; '' at the unison. */
export function octaveMark(semitones: number): string {
  const octaves = Math.round(semitones / 12);
  if (octaves === 0) return '';
  if (Math.abs(octaves) > 2) return `${String(Math.abs(octaves))} octaves ${octaves > 0 ? 'above' : 'below'}`;
  const figure = octaves * 7;
  const count = Math.abs(figure) + 1;
  return `${String(count)}${octaves > 0 ? (count === 8 ? 'va' : 'ma') : count === 8 ? 'vb' : 'mb'}`;
}
