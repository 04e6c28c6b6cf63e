/** Music for stories of stages, and what arrangers do to it. */
import { seeded } from '../support/playing.ts';
import { type Sheet, type SheetBar, type SheetNote, type SheetPart } from './sheet.ts';

const MAJOR = [0, 2, 4, 5, 7, 9, 11];
const ROOTS = [0, 3, 4, 0, 5, 3, 4, 0];

/** A line over the same chords of C major for every part: notes of `step` quarters through bars of `quarters`, within an octave from `low`. */
export function line(seed: number, low: number, quarters: number, step: number, barCount = 16): readonly SheetNote[] {
  const next = seeded(seed);
  return Array.from({ length: barCount }, (_, bar) =>
    Array.from({ length: quarters / step }, (__, index): SheetNote => {
      const pitchClass = MAJOR[(ROOTS[bar % 8]! + [0, 2, 4][Math.floor(next() * 3)]!) % 7]!;
      const midi = low + ((pitchClass - low + 120) % 12);
      return { bar, onset: index * step, midi, velocity: 80, late: 0.004 * next(), held: 0.9 * step };
    }),
  ).flat();
}

export function part(key: number, name: string, program: number, notes: readonly SheetNote[]): SheetPart {
  return { key, name, instrument: '', program, isDrums: false, dynamics: 'velocity', notes, controls: [] };
}

export function sheet(quarters: number, parts: readonly SheetPart[], barCount = 16): Sheet {
  const meter = quarters === 3 ? { numerator: 6, denominator: 8 } : { numerator: 4, denominator: 4 };
  return {
    bars: Array.from({ length: barCount }, (_, id) => ({ id, quarters, meter, tempo: 96 })),
    firstNumber: 1,
    parts,
  };
}

export function withPart(from: Sheet, name: string, edit: (one: SheetPart) => readonly SheetPart[]): Sheet {
  return { ...from, parts: from.parts.flatMap((one) => (one.name === name ? edit(one) : [one])) };
}

/** Only the notes of some bars, given by id, both ends included, or all but those. */
export function notesIn(notes: readonly SheetNote[], from: number, to: number): readonly SheetNote[] {
  return notes.filter(({ bar }) => bar >= from && bar <= to);
}

export function notesOutside(notes: readonly SheetNote[], from: number, to: number): readonly SheetNote[] {
  return notes.filter(({ bar }) => bar < from || bar > to);
}

export function inNotes(from: Sheet, name: string, edit: (notes: readonly SheetNote[]) => readonly SheetNote[]): Sheet {
  return withPart(from, name, (one) => [{ ...one, notes: edit(one.notes) }]);
}

/** Some notes as they are, the others edited. */
export function whereBars(
  from: number,
  to: number,
  edit: (note: SheetNote) => SheetNote,
): (notes: readonly SheetNote[]) => readonly SheetNote[] {
  return (notes) => notes.map((note) => (note.bar >= from && note.bar <= to ? edit(note) : note));
}

export function higher(semitones: number): (note: SheetNote) => SheetNote {
  return (note) => ({ ...note, midi: note.midi + semitones });
}

/** With bars of other ids, and music for each part in them, before the bar `id`; at the end where no bar has it. */
export function withBars(from: Sheet, id: number, bars: readonly SheetBar[], music: Sheet['parts']): Sheet {
  const found = from.bars.findIndex((bar) => bar.id === id);
  const at = found < 0 ? from.bars.length : found;
  return {
    ...from,
    bars: [...from.bars.slice(0, at), ...bars, ...from.bars.slice(at)],
    parts: from.parts.map((one) => {
      const fresh = music.find(({ key }) => key === one.key)?.notes ?? [];
      return { ...one, notes: [...one.notes, ...fresh] };
    }),
  };
}

export function withoutBars(from: Sheet, first: number, last: number): Sheet {
  return {
    ...from,
    bars: from.bars.filter(({ id }) => id < first || id > last),
    parts: from.parts.map((one) => ({ ...one, notes: notesOutside(one.notes, first, last) })),
  };
}

/** Every note played up to `quarters` early or late: another take. */
export function playedBy(notes: readonly SheetNote[], seed: number, quarters: number): readonly SheetNote[] {
  const next = seeded(seed);
  return notes.map((note) => ({ ...note, late: quarters * (next() + next() - 1) }));
}
