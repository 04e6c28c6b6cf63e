/**
 * A phrase or a fill that is put down some beats beside is the same music at another place. Common practice, no source: who says that a fill comes a
 * beat earlier means that, and not that its rhythm is another.
 */
import { describe, expect, it } from 'vitest';
import { inNotes, line, notesIn, part, playedBy, sheet, whereBars } from './story-music.ts';
import { told, toldSteps } from './told-stages.ts';
import type { Sheet, SheetNote } from './sheet.ts';

const fill = (bar: number): readonly SheetNote[] =>
  [72, 71, 69, 67].map((midi, index) => ({ bar, onset: 2 + index / 2, midi, velocity: 80, late: 0.004, held: 0.45 }));
const hats = Array.from({ length: 128 }, (_, hit): SheetNote => {
  return { bar: Math.floor(hit / 8), onset: (hit % 8) / 2, midi: 42, velocity: 60, late: 0, held: 0.2 };
});
const toms = [3, 7, 11].flatMap((bar) =>
  [50, 48, 45, 43].map((midi, index) => ({ bar, onset: 2 + index / 2, midi, velocity: 90, late: 0, held: 0.2 })),
);
const upbeat = notesIn(line(5, 55, 4, 1), 4, 7).filter(({ bar, onset }) => bar > 4 || onset >= 3);
const band = sheet(4, [
  part(0, 'Violin', 40, line(42, 67, 4, 0.5)),
  part(1, 'Trumpet', 56, [3, 7, 11].flatMap(fill)),
  part(2, 'Horn', 60, upbeat),
  { ...part(3, 'Drums', 0, [...hats, ...toms]), isDrums: true },
]);

/** Some bars of a part, by index, so many quarters beside where they stand. */
function put(from: Sheet, name: string, bars: readonly number[], by: number, least = 0): Sheet {
  const length = from.bars[0]!.quarters;
  return inNotes(from, name, (notes) =>
    notes.map((note) => {
      if (!bars.includes(note.bar) || note.midi < least) return note;
      const place = note.bar * length + note.onset + by;
      return { ...note, bar: Math.floor(place / length), onset: place % length };
    }),
  );
}

async function toldOf(from: Sheet, to: Sheet): Promise<string> {
  return (await told([from, to]))[0]!.filter((text) => !text.startsWith('In all')).join(' ');
}

describe('a fill', () => {
  it.each([
    [-1, [3], 'moved a beat earlier in bar 4'],
    [-0.5, [3], 'moved half a beat earlier in bar 4'],
    [-1.5, [3], 'moved a beat and a half earlier in bar 4'],
    [-2, [3, 7, 11], 'moved two beats earlier in bars 4, 8 and 12'],
    [1, [3, 7], 'moved a beat later in bars 4–5 and 8–9'],
    [2, [3], 'moved two beats later in bars 4–5'],
  ])('put down %d quarters beside is told by that', async (by, bars, words) => {
    expect(await toldOf(band, put(band, 'Trumpet', bars, by))).toBe(`Trumpet: ${words}, the same music.`);
  });

  it('of the toms is told beside a cymbal that goes on', async () => {
    const [step] = await toldSteps([band, put(band, 'Drums', [3], -1, 43)]);
    expect(step!.sentences[0]).toBe('Drums: some notes moved a beat earlier in bar 4, the others as before.');
    expect(step!.lead).toBe('Stage 2 moves some notes of Drums a beat earlier in bar 4.');
  });
});

describe('a phrase', () => {
  it('with an upbeat that begins later is no other entry', async () => {
    expect(await toldOf(band, put(band, 'Horn', [4, 5, 6, 7], 1))).toBe(
      'Horn: moved a beat later in bars 5–9, the same music.',
    );
  });

  it('in a new take is told by where it stands', async () => {
    const later = put(band, 'Horn', [5, 6, 7], 0.5);
    expect(
      await toldOf(
        band,
        inNotes(later, 'Horn', (notes) => playedBy(notes, 3, 0.05)),
      ),
    ).toBe('Horn: moved half a beat later in bars 6–9, the same music.');
  });

  it('in 6/8 is moved by eighths', async () => {
    const harp = line(9, 55, 3, 0.5).filter(({ bar, onset }) => bar < 8 || (onset >= 1 && onset < 2.5));
    const waltz = sheet(3, [part(0, 'Flute', 73, line(301, 74, 3, 0.5)), part(1, 'Harp', 46, harp)]);
    expect(await toldOf(waltz, put(waltz, 'Harp', [8, 9], -0.5))).toBe(
      'Harp: moved an eighth earlier in bars 9–10, the same music.',
    );
  });

  it('of which every other note comes later has another rhythm', async () => {
    const dotted = whereBars(6, 6, (note) =>
      note.onset % 2 === 1 ? { ...note, onset: note.onset + 0.5, held: 0.4 } : note,
    );
    expect(await toldOf(band, inNotes(band, 'Horn', dotted))).toBe(
      'Horn: in another rhythm, the same pitches in bar 7.',
    );
  });
});
