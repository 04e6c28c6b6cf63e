/**
 * What an arranger did, in the words that an arranger would use for it. Common practice, no source: a section that sings in unison and is
 * parted at the end was divided, and two hands on two tracks are one piano.
 */
import { describe, expect, it } from 'vitest';
import { line, notesIn, notesOutside, part, playedBy, sheet, withPart } from './story-music.ts';
import { toldSteps } from './told-stages.ts';
import type { Sheet, SheetPart } from './sheet.ts';

const soprano = line(61, 67, 4, 1);
const alto = line(62, 60, 4, 2);
const choir = (sopranos: readonly SheetPart[]): Sheet =>
  sheet(4, [...sopranos, part(5, 'Alt', 52, alto), part(6, 'Bass', 52, line(63, 43, 4, 2))]);

describe('a part that was divided', () => {
  const whole = choir([part(0, 'Sopran', 52, soprano)]);
  const own = [...notesOutside(soprano, 12, 15), ...notesIn(line(64, 60, 4, 2), 12, 15)];
  const parted = choir([part(0, 'Sopran 1', 52, soprano), part(1, 'Sopran 2', 52, playedBy(own, 65, 0.02))]);

  it('in unison but for some bars is told as divided, and no part as new or doubling', async () => {
    const [step] = await toldSteps([whole, parted]);
    expect(step!.lead).toBe(
      'Stage 2 divides Sopran into Sopran 1 and Sopran 2, with notes of its own for Sopran 2 in bars 13–16.',
    );
    expect(step!.sentences.slice(0, 2)).toEqual([
      'Sopran was divided: its notes are with Sopran 1 and Sopran 2 now.',
      'Sopran 2 has notes of its own in bars 13–16.',
    ]);
  });

  it('in unison but for the bars in which it had two notes has the same notes still', async () => {
    const divisi = notesIn(soprano, 13, 15).map((note) => ({ ...note, midi: note.midi - 4 }));
    const [step] = await toldSteps([
      choir([part(0, 'Violinen', 40, [...soprano, ...divisi])]),
      choir([
        part(0, 'Violine 1', 40, soprano),
        part(1, 'Violine 2', 40, playedBy([...notesOutside(soprano, 13, 15), ...divisi], 65, 0.02)),
      ]),
    ]);
    expect(step!.sentences).toEqual(['Violinen were divided: their notes are with Violine 1 and Violine 2 now.']);
  });

  it('and is put together again is told as joined', async () => {
    const unison = choir([part(0, 'Sopran 1', 52, soprano), part(1, 'Sopran 2', 52, playedBy(soprano, 66, 0.02))]);
    const [step] = await toldSteps([unison, whole]);
    expect(step!.lead).toBe('Stage 2 joins Sopran 1 and Sopran 2 in Sopran.');
  });

  it('is none where another instrument plays the line too', async () => {
    const more = withPart(choir([part(0, 'Sopran 1', 52, soprano)]), 'Bass', (one) => [
      one,
      part(7, 'Violine 2', 40, playedBy(soprano, 67, 0.02)),
    ]);
    const [step] = await toldSteps([whole, more]);
    expect(step!.lead).toMatch(/^Stage 2 adds Violine 2 .*renames Sopran to Sopran 1\.$/);
  });
});

describe('a piano whose hands were recorded apart', () => {
  const hands = (names: readonly (readonly [string, boolean, boolean])[]): Sheet => {
    const right = line(71, 67, 4, 0.5);
    const left = line(72, 41, 4, 2);
    return sheet(4, [
      part(0, 'Voice', 53, line(73, 65, 4, 1)),
      ...names.map(([name, hasRight, hasLeft], index) =>
        part(1 + index, name, 0, [...(hasRight ? right : []), ...(hasLeft ? left : [])]),
      ),
    ]);
  };
  const one = hands([['Piano', true, true]]);
  const two = hands([
    ['Pno RH', true, false],
    ['Pno LH', false, true],
  ]);
  const again = hands([['Keys', true, true]]);

  it('is told as divided between its tracks, and joined again, not as renamed', async () => {
    const [apart, together] = await toldSteps([one, two, again]);
    expect(apart!.lead).toMatch(
      /divided between the tracks “Pno RH” and “Pno LH”|divides Piano between the tracks Pno RH and Pno LH/,
    );
    expect(apart!.sentences.join(' ')).not.toContain('is called');
    expect(together!.lead).toMatch(/joins the tracks Pno RH and Pno LH in Keys/);
    expect(together!.sentences.join(' ')).not.toContain('is called');
  });
});
