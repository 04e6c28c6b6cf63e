/** The notes of one part as bars of events: every voice of every staff, nothing left out but what no figure can show. */
import type { SpelledPitch } from '../../model/music/pitch.ts';
import type { OrnamentSigns, WrittenEvent, WrittenNote } from '../../model/music/written.ts';
import { eventsOf } from '../note-values/events.ts';
import { snapSegments, type HeadDraft, type Segment } from '../note-values/tuplets.ts';
import { barIndexAtDivision, type GridBar, type ScoreTime } from '../score-time/score-time.ts';
import { hideOuterRests } from '../note-values/outer-rests.ts';
import { settleTies } from '../note-values/ties.ts';

/** What one note sounds in one bar; offsets in the bar, in divisions. */
interface Piece {
  readonly from: number;
  readonly to: number;
  readonly midi: number;
  readonly pitch: SpelledPitch;
  readonly continues: boolean;
  readonly goesOn: boolean;
  readonly ornament?: OrnamentSigns;
}

/** Pieces of a voice by the number of the voice. */
type BarVoices = Map<number, Piece[]>;

/** Pitch as it is to be read in a bar, by its index; undefined where it cannot be written. */
export type PitchReading = (sounding: SpelledPitch, barIndex: number) => SpelledPitch | undefined;

/** Signs of a note with the small notes as they are to be read; those that cannot be written are left out. */
function signsAsRead(note: WrittenNote, bar: number, read: PitchReading): { readonly ornament?: OrnamentSigns } {
  if (note.ornament === undefined) return {};
  const graces = note.ornament.graces.flatMap((grace) => {
    const pitch = read(grace.pitch, bar);
    return pitch === undefined ? [] : [{ ...grace, pitch }];
  });
  return { ornament: { ...note.ornament, graces } };
}

function piecesByBar(
  notes: readonly WrittenNote[],
  time: ScoreTime,
  read: PitchReading,
): ReadonlyMap<number, BarVoices> {
  const bars = new Map<number, BarVoices>();
  for (const note of notes) {
    const end = note.start + note.length;
    for (let index = barIndexAtDivision(time, note.start); index < time.bars.length; index++) {
      const bar = time.bars[index];
      if (bar === undefined || bar.start >= end) break;
      const from = Math.max(0, note.start - bar.start);
      const to = Math.min(bar.length, end - bar.start);
      const pitch = read(note.pitch, index);
      if (from >= to || pitch === undefined) continue;
      const voices: BarVoices = bars.get(index) ?? new Map<number, Piece[]>();
      const pieces = voices.get(note.voice) ?? [];
      const ties = { continues: note.start < bar.start, goesOn: end > bar.start + bar.length };
      pieces.push({ from, to, midi: note.midi, pitch, ...ties, ...signsAsRead(note, index, read) });
      voices.set(note.voice, pieces);
      bars.set(index, voices);
    }
  }
  return bars;
}

/** Places where something starts or ends, in order, once each. */
function bordersOf(pieces: readonly Piece[], length: number): number[] {
  const places = [0, length];
  for (const { from, to } of pieces) places.push(from, to);
  places.sort((a, b) => a - b);
  return places.filter((place, index) => place !== places[index - 1]);
}

function headsOf(sounding: readonly Piece[], from: number, to: number): HeadDraft[] {
  const heads: HeadDraft[] = [];
  for (const { midi, pitch, ...piece } of sounding) {
    // One pitch twice in a voice is one head.
    if (heads.some((head) => head.midi === midi)) continue;
    const tied = { from: piece.from < from || piece.continues, to: piece.to > to || piece.goesOn };
    const signs = piece.ornament === undefined ? {} : { ornament: piece.ornament };
    heads.push({ midi, pitch, partIds: [], ...tied, ...signs });
  }
  return heads.sort((a, b) => a.midi - b.midi);
}

/** Segments that fill the bar: a new one wherever anything starts or ends; what sounds on is tied. */
function segmentsOf(pieces: readonly Piece[], bar: GridBar): Segment[] {
  const borders = bordersOf(pieces, bar.length);
  const waiting = [...pieces].sort((a, b) => a.from - b.from);
  const segments: Segment[] = [];
  let sounding: Piece[] = [];
  let next = 0;
  for (let index = 0; index + 1 < borders.length; index++) {
    const from = borders[index] ?? 0;
    const to = borders[index + 1] ?? 0;
    sounding = sounding.filter((piece) => piece.to > from);
    for (let piece = waiting[next]; piece !== undefined && piece.from <= from; piece = waiting[++next]) {
      sounding.push(piece);
    }
    segments.push({ from, to, heads: headsOf(sounding, from, to) });
  }
  return segments;
}

/**
 * Voices of one staff bar by bar, in the order of their numbers; an empty list where the staff rests. Every voice fills its bar. Notes that
 * no figure can show (shorter than the finest in their place) are lost.
 */
export function staffBars(
  notes: readonly WrittenNote[],
  time: ScoreTime,
  read: PitchReading,
): (readonly (readonly WrittenEvent[])[])[] {
  const pieces = piecesByBar(notes, time, read);
  let tupletId = 0;
  const bars = time.bars.map((bar, index) =>
    [...(pieces.get(index) ?? [])]
      .sort((a, b) => a[0] - b[0])
      .map(([, voice]) => snapSegments(bar, segmentsOf(voice, bar)).segments)
      .filter((segments) => segments.some((segment) => segment.heads.length > 0))
      .map((segments) => eventsOf(bar, segments, () => ++tupletId)),
  );
  return settleTies(bars).map((voices) => voices.map((voice, index) => (index === 0 ? voice : hideOuterRests(voice))));
}
