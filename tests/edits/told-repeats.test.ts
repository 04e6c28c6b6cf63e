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
