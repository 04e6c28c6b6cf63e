/** A small arrangement as plain lines of notes, and what is done to it. Places are quarter notes from bar 1. */
import type { Meter } from '../../../src/model/music/timeline.ts';

export interface LineNote {
  readonly start: number;
  readonly length: number;
  readonly midi: number;
  readonly velocity: number;
}

export interface Line {
  readonly name: string;
  /** General MIDI program, zero-based. */
  readonly program: number;
  readonly players: number;
  readonly notes: readonly LineNote[];
  /** Settings of controller 11. */
  readonly expression?: readonly { readonly quarters: number; readonly setting: number }[];
}

export interface Piece {
  readonly name: string;
  readonly meter: Meter;
  /** Quarter notes a minute. */
  readonly tempo: number;
  readonly fifths: number;
  readonly minor: boolean;
  readonly bars: number;
  /** Name of the line in front. */
  readonly foreground: string;
  readonly lines: readonly Line[];
}

export function barQuarters({ meter }: Pick<Piece, 'meter'>): number {
  return (4 * meter.numerator) / meter.denominator;
}

export function barStart(piece: Pick<Piece, 'meter'>, bar: number): number {
  return (bar - 1) * barQuarters(piece);
}

export function barOf(piece: Pick<Piece, 'meter'>, quarters: number): number {
  return Math.floor(quarters / barQuarters(piece) + 1e-6) + 1;
}

function lineOf(piece: Piece, name: string): Line {
  const line = piece.lines.find((candidate) => candidate.name === name);
  if (line === undefined) throw new Error(`no line ${name}`);
  return line;
}

export function withLine(piece: Piece, name: string, change: (line: Line) => Line): Piece {
  lineOf(piece, name);
  return { ...piece, lines: piece.lines.map((line) => (line.name === name ? change(line) : line)) };
}

/** Changes the notes of one line that begin in these bars; a note may become several or none. */
export function inBars(
  piece: Piece,
  name: string,
  from: number,
  to: number,
  change: (note: LineNote) => LineNote | readonly LineNote[],
): Piece {
  return withLine(piece, name, (line) => ({
    ...line,
    notes: line.notes
      .flatMap((note) => {
        const bar = barOf(piece, note.start);
        return bar >= from && bar <= to ? change(note) : note;
      })
      .sort((a, b) => a.start - b.start || a.midi - b.midi),
  }));
}

/** Puts other notes into these bars of one line. */
export function replaced(piece: Piece, name: string, from: number, to: number, notes: readonly LineNote[]): Piece {
  const cleared = inBars(piece, name, from, to, () => []);
  return withLine(cleared, name, (line) => ({
    ...line,
    notes: [...line.notes, ...notes].sort((a, b) => a.start - b.start || a.midi - b.midi),
  }));
}

/** What one line plays in these bars. */
export function notesIn(piece: Piece, name: string, from: number, to: number): readonly LineNote[] {
  return lineOf(piece, name).notes.filter(({ start }) => {
    const bar = barOf(piece, start);
    return bar >= from && bar <= to;
  });
}
