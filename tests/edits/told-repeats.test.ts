/** Bars that are played once more, in the words that an arranger has for it; common practice, no source. */
import { describe, expect, it } from 'vitest';
import { line, part, sheet, withBars } from './story-music.ts';
import type { Sheet, SheetNote } from './sheet.ts';
import { toldSteps } from './told-stages.ts';

const band = sheet(4, [
  part(0, 'Trumpet', 56, line(81, 67, 4, 1)),
  part(1, 'Horn', 60, line(82, 55, 4, 0.5)),
  part(2, 'Tuba', 58, line(83, 36, 4, 2)),
]);

/** The bars 9 to 12 once more behind themselves, every note of them edited. */
function again(edit: (note: SheetNote) => SheetNote = (note) => note): Sheet {
  const ids = [100, 101, 102, 103];
  const copies = band.parts.map((one) => ({
    ...one,
    notes: one.notes.flatMap((note) =>
      note.bar >= 8 && note.bar <= 11 ? [edit({ ...note, bar: ids[note.bar - 8]! })] : [],
    ),
  }));
  return withBars(
    band,
    12,
    band.bars.slice(8, 12).map((bar, index) => ({ ...bar, id: ids[index]! })),
    copies,
  );
}

describe('bars that are put in', () => {
  it('and are those before them once more are told as repeated, and what follows with its new numbers', async () => {
    const [step] = await toldSteps([band, again()]);
    expect(step!.lead).toBe('Stage 2 repeats bars 9–12 as bars 13–16, so that what followed stands 4 bars later.');
    expect(step!.sentences.join(' ')).not.toMatch(/new|9–12 (?:is|are) (?!repeated)/u);
  });

  it('with other notes are new bars', async () => {
    const [step] = await toldSteps([band, again((note) => ({ ...note, midi: note.midi + (note.onset < 2 ? 2 : -3) }))]);
    expect(step!.lead).toContain('inserts bars 13–16');
    expect(step!.lead).not.toContain('repeats');
  });
});

describe('an ending that is held through bars put behind it', () => {
  it('has longer last notes, and no other rhythm in bars that were not there', async () => {
    const last = (note: SheetNote): boolean => note.bar === 15;
    const ended = {
      ...band,
      parts: band.parts.map((one) => ({
        ...one,
        notes: [...one.notes.filter((note) => !last(note)), { ...one.notes.find(last)!, onset: 0, late: 0, held: 4 }],
      })),
    };
    const more = [200, 201].map((id) => ({ ...band.bars[0]!, id }));
    const held = withBars(ended, 200, more, []);
    const parts = held.parts.map((one) => ({
      ...one,
      notes: one.notes.map((note) => (last(note) && one.name !== 'Tuba' ? { ...note, held: 12 } : note)),
    }));
    const strum = parts.map((one) =>
      one.name === 'Tuba' ? { ...one, notes: [...one.notes, { ...one.notes.find(last)!, bar: 200, held: 8 }] } : one,
    );
    const [step] = await toldSteps([ended, { ...held, parts: strum }]);
    const told = step!.sentences.join(' ');
    expect(told).toContain('Bars 17–18 were added at the end.');
    expect(told).not.toContain('another rhythm');
    expect(told).toMatch(/Horn and Trumpet: held longer, the same notes[^.]* in bar 16/u);
  });
});
