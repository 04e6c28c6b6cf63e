/** A passage of a printed score in one meter, in the form in which edits are made to pieces. */
import type { Piece, PiecePart } from '../analyse/compare/edited-piece.ts';
import { readMxl } from './musicxml-score.ts';
import { instrumentOf } from './score-stage.ts';

/**
 * The longest run of whole bars of one meter, cut after `mostBars`. Notes that are held into the passage are left out, and
 * parts without a note. Velocities are flat: the print has no dynamics here.
 */
export function pieceOfScore(path: string, mostBars: number): Piece {
  const { bars, parts } = readMxl(path);
  const isWhole = ({ length, meter }: (typeof bars)[number]): boolean =>
    Math.abs(length - (4 * meter.numerator) / meter.denominator) < 1e-6;
  const sameMeter = (one: number, other: number): boolean =>
    bars[one]?.meter.numerator === bars[other]?.meter.numerator &&
    bars[one]?.meter.denominator === bars[other]?.meter.denominator;
  let best = { from: 0, count: 0 };
  for (let from = 0; from < bars.length;) {
    let to = from;
    while (to < bars.length && isWhole(bars[to]!) && sameMeter(from, to)) to++;
    if (to - from > best.count) best = { from, count: to - from };
    from = Math.max(to, from + 1);
  }
  const passage = bars.slice(best.from, best.from + Math.min(best.count, mostBars));
  const origin = passage[0]?.start ?? 0;
  const end = origin + passage.reduce((sum, bar) => sum + bar.length, 0);
  const barQuarters = passage[0]?.length ?? 4;
  const pieceParts = parts.flatMap((part, index): PiecePart[] => {
    const notes = part.notes
      .filter((note) => note.start >= origin - 1e-6 && note.start < end - 1e-6 && note.length > 0)
      .map((note) => {
        const bar = Math.floor((note.start - origin) / barQuarters + 1e-6);
        const onset = Math.max(0, note.start - origin - bar * barQuarters);
        return { bar: bar + 1, onset, length: Math.min(note.length, end - note.start), midi: note.midi, velocity: 70 };
      });
    if (notes.length === 0) return [];
    return [
      {
        id: `part-${String(index + 1)}`,
        instrument: instrumentOf(part.name),
        name: `${part.name} ${String(index + 1)}`,
        notes,
      },
    ];
  });
  return {
    barCount: passage.length,
    meter: passage[0]?.meter ?? { numerator: 4, denominator: 4 },
    tempo: 90,
    parts: pieceParts,
  };
}
