/** Written values and rests on folders of many kinds, against what their composers wrote. */
import { describe, expect, it } from 'vitest';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { stageOfKind, truthsOfPart } from '../support/kind-stage.ts';
import { sumOf } from '../support/notation-truth.ts';
import type { DotCount, RhythmCount } from '../support/rhythm-truth.ts';
import { addedRhythms, dotsOf, rhythmOf } from '../support/rhythm-truth.ts';
import { KINDS } from './folders.ts';
import type { KindFolder } from './kind.ts';

/** Drums are left out: how long a stroke is written is a matter of taste, not of playing. */
async function rhythmOfKind(folder: KindFolder): Promise<RhythmCount & { readonly dots: DotCount }> {
  const stage = await stageOfKind(folder);
  const written = notateStage(stage);
  const read = stage.parts.flatMap((part, index) =>
    part.unpitched
      ? []
      : [{ notes: written.parts[index]?.notes ?? [], truths: truthsOfPart(part, folder.truth.notes) }],
  );
  return {
    ...addedRhythms(read.map(({ notes, truths }) => rhythmOf(notes, truths))),
    dots: dotsOf(read.flatMap(({ notes, truths }) => notes.map((note) => ({ note, truth: truths[note.played] })))),
  };
}

describe('music of many kinds played to the click', () => {
  const counts = Promise.all(KINDS.filter(({ truth }) => truth.onGrid).map(rhythmOfKind));
  const mean = (shares: readonly { readonly right: number; readonly all: number }[]): number => {
    const counted = shares.filter(({ all }) => all > 0);
    return counted.reduce((sum, { right, all }) => sum + right / all, 0) / counted.length;
  };

  it('keeps its values', async () => {
    expect(mean((await counts).map(({ values }) => values))).toBeGreaterThan(0.96);
  });

  it('has dots where they were written, and hardly any elsewhere', async () => {
    const dots = (await counts).map((count) => count.dots);
    const { right, all } = sumOf(dots.map(({ found }) => found));
    expect(right / all).toBeGreaterThan(0.8);
    expect(dots.reduce((sum, count) => sum + count.false, 0)).toBeLessThan(0.02 * right);
  });

  it('keeps its rests', async () => {
    expect(mean((await counts).map(({ rests }) => rests))).toBeGreaterThan(0.95);
  });
});
