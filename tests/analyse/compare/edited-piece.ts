/** Pieces made by a seeded machine and the edits that arrangers make to them. */
import type { Part, Stage } from '../../../src/model/music/arrangement.ts';
import type { Meter, Timeline } from '../../../src/model/music/timeline.ts';
import { secondAt } from '../../../src/model/music/timeline.ts';
import { partOf, stageOf, timelineOf } from '../../support/arrangement.ts';
import { seeded } from '../../support/playing.ts';

export interface PieceNote {
  readonly bar: number;
  readonly onset: number;
  readonly length: number;
  readonly midi: number;
  readonly velocity: number;
  /** Seconds by which it is played late. */
  readonly late?: number;
}

export interface PiecePart {
  readonly id: string;
  readonly instrument: string;
  readonly name: string;
  readonly notes: readonly PieceNote[];
}

export interface Piece {
  readonly barCount: number;
  /** 4/4 where none is given. */
  readonly meter?: Meter;
  readonly tempo: number;
  readonly parts: readonly PiecePart[];
}

const FOUR_FOUR: Meter = { numerator: 4, denominator: 4 };

const PLAYERS = [
  { id: 'flute', instrument: 'flute', name: 'Flute', low: 67 },
  { id: 'clarinet', instrument: 'clarinet-bflat', name: 'Clarinet', low: 60 },
  { id: 'violin-1', instrument: 'violin', name: 'Violin I', low: 64 },
  { id: 'viola', instrument: 'viola', name: 'Viola', low: 55 },
  { id: 'cello', instrument: 'cello', name: 'Cello', low: 43 },
] as const;

/** Music of one bar: quarters and eighths, now and then a rest, within a twelfth from `low`. */
function barMusic(bar: number, low: number, quarters: number, next: () => number): PieceNote[] {
  const notes: PieceNote[] = [];
  for (let onset = 0; onset < quarters;) {
    const length = next() < 0.4 || onset === quarters - 0.5 ? 0.5 : 1;
    const midi = low + Math.floor(next() * 19);
    const velocity = 55 + Math.floor(next() * 40);
    if (next() > 0.12 || onset === 0) notes.push({ bar, onset, length, midi, velocity });
    onset += length;
  }
  return notes;
}

/** A piece in 4/4 or in bars of other length; the same seed gives the same piece. */
export function pieceOf(seed: number, barCount = 20, playerCount = 5, barQuarters = 4): Piece {
  const next = seeded(seed);
  return {
    barCount,
    tempo: 90,
    parts: Array.from({ length: playerCount }, (_, index) => {
      const player = PLAYERS[index % PLAYERS.length]!;
      const desk = Math.floor(index / PLAYERS.length);
      const id = desk === 0 ? player.id : `${player.id}-desk-${String(desk)}`;
      const notes = Array.from({ length: barCount }, (_, bar) =>
        barMusic(bar + 1, player.low, barQuarters, next),
      ).flat();
      return { id, instrument: player.instrument, name: desk === 0 ? player.name : `${player.name} ${id}`, notes };
    }),
  };
}

export function editPart(piece: Piece, id: string, edit: (part: PiecePart) => PiecePart): Piece {
  return { ...piece, parts: piece.parts.map((part) => (part.id === id ? edit(part) : part)) };
}

export function editNotes(piece: Piece, id: string, edit: (note: PieceNote) => PieceNote): Piece {
  return editPart(piece, id, (part) => ({ ...part, notes: part.notes.map(edit) }));
}

export function withoutPart(piece: Piece, id: string): Piece {
  return { ...piece, parts: piece.parts.filter((part) => part.id !== id) };
}

/** Length of a bar of the piece in quarters. */
export function barQuartersOf({ meter = FOUR_FOUR }: Piece): number {
  return (4 * meter.numerator) / meter.denominator;
}

/** New music in `count` bars that come to stand before bar `at`. */
export function insertBars(piece: Piece, at: number, count: number, seed: number): Piece {
  const fresh = pieceOf(seed, count, piece.parts.length, barQuartersOf(piece));
  return {
    ...piece,
    barCount: piece.barCount + count,
    parts: piece.parts.map((part, index) => ({
      ...part,
      notes: [
        ...part.notes.map((note) => (note.bar >= at ? { ...note, bar: note.bar + count } : note)),
        ...fresh.parts[index]!.notes.map((note) => ({ ...note, bar: note.bar - 1 + at })),
      ],
    })),
  };
}

export function cutBars(piece: Piece, at: number, count: number): Piece {
  const keep = ({ bar }: PieceNote): boolean => bar < at || bar >= at + count;
  const close = (note: PieceNote): PieceNote => (note.bar >= at ? { ...note, bar: note.bar - count } : note);
  return {
    ...piece,
    barCount: piece.barCount - count,
    parts: piece.parts.map((part) => ({ ...part, notes: part.notes.filter(keep).map(close) })),
  };
}

/** `count` bars from `at` on are taken out and put back so that they begin at bar `to`. */
export function moveBars(piece: Piece, at: number, count: number, to: number): Piece {
  const order = Array.from({ length: piece.barCount }, (_, index) => index + 1);
  const moved = order.splice(at - 1, count);
  order.splice(to - 1, 0, ...moved);
  const placeOf = new Map(order.map((bar, index) => [bar, index + 1]));
  return {
    ...piece,
    parts: piece.parts.map((part) => ({
      ...part,
      notes: part.notes.map((note) => ({ ...note, bar: placeOf.get(note.bar) ?? note.bar })),
    })),
  };
}

export function transposed(piece: Piece, semitones: number): Piece {
  const up = (note: PieceNote): PieceNote => ({ ...note, midi: note.midi + semitones });
  return { ...piece, parts: piece.parts.map((part) => ({ ...part, notes: part.notes.map(up) })) };
}

function partIn(part: PiecePart, timeline: Timeline, barQuarters: number): Part {
  const notes = part.notes
    .map((note) => {
      const startSecond = secondAt(timeline, barQuarters * (note.bar - 1) + note.onset) + (note.late ?? 0);
      const endSecond =
        secondAt(timeline, barQuarters * (note.bar - 1) + note.onset + note.length * 0.95) + (note.late ?? 0);
      const perQuarter = timeline.tempo[0]!.secondsPerQuarter;
      return {
        midi: note.midi,
        velocity: note.velocity,
        startQuarters: startSecond / perQuarter,
        endQuarters: endSecond / perQuarter,
        startSecond,
        endSecond,
        soundingEndSecond: endSecond,
        trackIndex: 0,
      };
    })
    .sort((a, b) => a.startQuarters - b.startQuarters || a.midi - b.midi);
  return { ...partOf(part.instrument, '', timeline, { name: part.name }), id: part.id, notes };
}

/** The piece as a stage, in one tempo. */
export function stageOfPiece(piece: Piece, id: string): Stage {
  const meter = piece.meter ?? FOUR_FOUR;
  const timeline = timelineOf(piece.barCount, meter, piece.tempo);
  return stageOf(
    piece.parts.map((part) => partIn(part, timeline, barQuartersOf(piece))),
    timeline,
    { id },
  );
}
