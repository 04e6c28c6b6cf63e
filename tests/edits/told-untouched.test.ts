/**
 * What stands tick for tick where it stood was not changed, however it reads at another tempo. Common practice, no source: who rolls on one key
 * goes on rolling where the music slows down, and nobody who only sets a tempo writes other notes.
 */
import { describe, expect, it } from 'vitest';
import { line, part, sheet, withPart } from './story-music.ts';
import { told } from './told-stages.ts';
import type { Sheet, SheetNote } from './sheet.ts';

/** Long notes as strokes of a thirty-second on one key, as a mandolin holds them. */
const rolled = line(81, 69, 4, 2).flatMap((note): readonly SheetNote[] =>
  Array.from({ length: 16 }, (_, stroke) => ({ ...note, onset: note.onset + stroke / 8, held: 0.1, late: 0 })),
);
/** Trills on the tune: a note and the one above it by turns. */
const trilled = line(82, 76, 4, 4).flatMap((note): readonly SheetNote[] =>
  Array.from({ length: 28 }, (_, turn) => ({
    ...note,
    onset: note.onset + turn / 9,
    midi: note.midi + 2 * (turn % 2),
    held: 0.1,
    late: 0,
  })),
);
const band = sheet(4, [
  part(0, 'Mandoline', 25, rolled),
  part(1, 'Flöte', 73, trilled),
  part(2, 'Gitarre', 24, line(83, 52, 4, 1)),
  part(3, 'Kontrabass', 32, line(84, 36, 4, 2)),
]);
const atTempo = (tempo: number, from = 0): Sheet => ({
  ...band,
  bars: band.bars.map((bar, index) => (index < from ? bar : { ...bar, tempo })),
});

describe('rolls and trills that nobody touched', () => {
  it.each([132, 84, 60])('are told as the same where the tempo throughout is %i', async (tempo) => {
    const [step] = await told([band, atTempo(tempo)]);
    expect(step).toEqual([
      `The tempo is ${tempo < 96 ? 'slower' : 'faster'} throughout: quarter = ${String(tempo)} instead of 96.`,
    ]);
  });

  it('are told as the same in the last bars, where they are so slow that they read as single notes', async () => {
    const [step, back] = await told([band, atTempo(44, 13), band]);
    expect(step).toEqual(['The tempo is slower in bars 14–16: quarter = 44 instead of 96.']);
    expect(back).toHaveLength(1);
    expect(back![0]).toMatch(/^The tempo is faster in bars 14–16: quarter = 96 instead of 44/);
  });

  it('but of which one bar has half as many strokes as before are told in that bar', async () => {
    const fewer = rolled.filter(({ bar, onset }) => bar !== 14 || (8 * onset) % 2 < 0.5);
    const other = {
      ...atTempo(44, 13),
      parts: band.parts.map((one) => (one.key === 0 ? { ...one, notes: fewer } : one)),
    };
    const [step] = await told([band, other]);
    expect(step!.filter((sentence) => sentence.startsWith('Mandoline'))).toHaveLength(1);
    expect(step!.find((sentence) => sentence.startsWith('Mandoline'))).toMatch(/bar 15\.$/);
  });
});

describe('controllers', () => {
  const set = (
    settings: readonly (readonly [bar: number, controller: number, setting: number])[],
    from = band,
  ): Sheet =>
    withPart(from, 'Gitarre', (one) => [
      { ...one, controls: settings.map(([bar, controller, setting]) => ({ bar, onset: 0, controller, setting })) },
    ]);

  it('that set a part in two steps are told as two amounts, each in its bars, those too that were rewritten', async () => {
    const other = withPart(
      set([
        [4, 11, 100],
        [10, 11, 76],
      ]),
      'Gitarre',
      (one) => [
        {
          ...one,
          notes: one.notes.map((note) =>
            note.bar === 12 ? { ...note, midi: note.midi + (note.onset % 2 === 0 ? 3 : 4) } : note,
          ),
        },
      ],
    );
    const [step] = await told([band, other]);
    const [guitar] = step!.filter((sentence) => sentence.startsWith('Gitarre'));
    // 40 log10 of 100 and of 76 parts of 127 (General MIDI level 2): -4.2 and -8.9 dB.
    expect(guitar).toMatch(
      /softer by about 4\.\d dB \(estimated\) in bars 5–10; softer by about 8\.\d dB \(estimated\) in bars 11–16/,
    );
  });

  it('that draw a swell throughout are told as one', async () => {
    const swell = Array.from({ length: 16 }, (_, bar) => [bar, 11, 60 + 3 * bar] as const);
    const [step] = await told([band, set(swell)]);
    expect(step!.filter((sentence) => sentence.includes('softer'))).toHaveLength(1);
    expect(step!.join(' ').match(/softer/g)).toHaveLength(1);
  });
});
