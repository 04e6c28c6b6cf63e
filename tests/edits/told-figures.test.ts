/** What is done to a figure or to the chords of one part. Common practice, no source: these are the words in which an arranger says it. */
import { describe, expect, it } from 'vitest';
import { inNotes, line, notesOutside, part, playedBy, sheet } from './story-music.ts';
import { toldSteps } from './told-stages.ts';
import type { Sheet, SheetNote } from './sheet.ts';

const trio = sheet(4, [
  part(0, 'Violin', 40, line(42, 67, 4, 0.5)),
  part(1, 'Viola', 41, line(43, 55, 4, 0.5)),
  part(2, 'Cello', 42, line(44, 43, 4, 1)),
]);

/** The viola in bars 9–12 with what falls on every so many quarters only, held until the next. */
const thinned = (every: number): Sheet =>
  inNotes(trio, 'Viola', (notes) =>
    notes.flatMap((note) => {
      if (note.bar < 8 || note.bar > 11) return [note];
      return note.onset % every === 0 ? [{ ...note, held: every - 0.1 }] : [];
    }),
  );

const CHORDS = [
  [60, 64, 67],
  [57, 60, 64],
  [65, 69, 72],
  [67, 71, 74],
] as const;

const chordsIn = (bar: number, tones: readonly number[]): readonly SheetNote[] =>
  [0, 2].flatMap((onset) => tones.map((midi) => ({ bar, onset, midi, velocity: 70, late: 0.004, held: 1.8 })));

const roots = Array.from({ length: 16 }, (_, bar) => CHORDS[bar % 4]![0] - 24).flatMap((midi, bar) =>
  [0, 1, 2, 3].map((onset): SheetNote => ({ bar, onset, midi, velocity: 80, late: 0.003, held: 0.9 })),
);
const song = sheet(4, [
  part(0, 'Piano', 0, Array.from({ length: 16 }, (_, bar) => chordsIn(bar, CHORDS[bar % 4]!)).flat()),
  part(1, 'Bass', 33, roots),
]);

const firstOf = async (from: Sheet, to: Sheet): Promise<readonly [string, string]> => {
  const [step] = await toldSteps([from, to]);
  return [step!.sentences[0]!, step!.lead];
};

describe('a figure', () => {
  it.each([1, 2, 4])('of which what falls on every %d quarters is left and held is thinned out', async (every) => {
    expect(await firstOf(trio, thinned(every))).toEqual([
      'Viola: thinned out, the notes left held longer in bars 9–12.',
      'Stage 2 thins out Viola, with longer notes, in bars 9–12.',
    ]);
  });

  it('put between the notes of before has more and shorter ones', async () => {
    const [told] = await firstOf(thinned(1), trio);
    expect(told).toBe('Viola: notes added between those of before, which are held shorter in bars 9–12.');
  });
});

describe('a bass', () => {
  it('whose last note was tied over into a bar that is as it was is another up to the bar line', async () => {
    const tumbao = Array.from({ length: 16 }, (_, bar): readonly SheetNote[] => {
      const low = CHORDS[bar % 4]![0] - 24;
      const next = CHORDS[(bar + 1) % 4]![0] - 24;
      return [
        { bar, onset: 1.5, midi: low + 7, velocity: 80, late: 0.003, held: 1.4 },
        { bar, onset: 3, midi: next, velocity: 80, late: 0.003, held: 2.4 },
      ];
    }).flat();
    const whole = [8, 9, 10, 11].map((bar): SheetNote => {
      return { bar, onset: 0, midi: CHORDS[bar % 4]![0] - 24, velocity: 80, late: 0.003, held: 3.9 };
    });
    const before = inNotes(song, 'Bass', () => tumbao);
    const after = inNotes(song, 'Bass', () => [...notesOutside(tumbao, 8, 11), ...whole]);
    expect((await firstOf(before, after))[0]).toBe('Bass: rewritten in bars 9–12.');
  });
});

describe('the chords of one part', () => {
  it.each([
    ['with the lowest tone on top', 0],
    ['with the middle tone on top', 1],
  ])('%s are revoiced', async (_, index) => {
    const other = inNotes(song, 'Piano', (notes) =>
      notes.map((note) => {
        const isMoved = note.bar >= 4 && note.bar < 8 && note.midi === CHORDS[note.bar % 4]![index];
        return isMoved ? { ...note, midi: note.midi + 12 } : note;
      }),
    );
    expect(await firstOf(song, other)).toEqual([
      'Piano: revoiced (the same tones in other octaves) in bars 5–8.',
      'Stage 2 revoices Piano in bars 5–8.',
    ]);
  });

  it('and grips of two tones with the upper one an octave higher are revoiced in a new take too', async () => {
    const grips = (isOpen: boolean, seed: number): Sheet => {
      const notes = Array.from({ length: 16 }, (_, bar) => bar).flatMap((bar) =>
        [0.5, 1.5, 3].flatMap((onset) => {
          const [, low, high] = CHORDS[bar % 4]!;
          const upper = high + (isOpen && bar >= 8 && bar < 12 ? 12 : 0);
          return [low, upper].map((midi): SheetNote => ({ bar, onset, midi, velocity: 70, late: 0.01, held: 0.45 }));
        }),
      );
      return inNotes(song, 'Piano', () => playedBy(notes, seed, 0.02));
    };
    expect((await firstOf(grips(false, 3), grips(true, 4)))[0]).toBe(
      'Piano: revoiced (the same tones in other octaves) in bars 9–12.',
    );
  });

  it('that are others in the rhythm of before are named', async () => {
    const others = inNotes(song, 'Piano', (notes) => [
      ...notesOutside(notes, 4, 5),
      ...chordsIn(4, [57, 60, 64]),
      ...chordsIn(5, [65, 69, 72]),
    ]);
    const [told] = await firstOf(song, others);
    expect(told).toMatch(/^The chords in bars 5–6 are .* \(estimated\); other notes in the same rhythm for Piano\.$/);
  });

  it('with another tone in one line of the part are no other chords where that is a tune over them', async () => {
    const tune = inNotes(trio, 'Violin', (notes) =>
      notes.map((note) => (note.bar === 4 && note.onset === 1 ? { ...note, midi: note.midi + 1 } : note)),
    );
    expect((await firstOf(trio, tune))[0]).toBe('Violin: rewritten in bar 5.');
  });
});
