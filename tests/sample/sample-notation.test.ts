/** The written sample against what its composer wrote down before it was played: the harmony bar by bar, and the two hands. */
import { beforeAll, describe, expect, it } from 'vitest';
import { pitchName } from '../../src/model/music/pitch.ts';
import type { WrittenStage } from '../../src/model/music/written.ts';
import { chordsAgainstPlan, handsAgainstPlan, sampleArrangement } from '../support/sample-truth.ts';
import { notated } from '../support/notated.ts';

let stages: readonly WrittenStage[] = [];

beforeAll(async () => {
  stages = (await sampleArrangement()).stages.map((stage) => notated(stage));
});

describe.each([0, 1, 2, 3])('stage %i (counted from 0)', (index) => {
  it('has the planned roots, chords and basses nine tenths of the time or more', () => {
    const count = chordsAgainstPlan(stages[index]!);
    expect(count.roots.right / count.roots.all).toBeGreaterThan(0.95);
    expect(count.symbols.right / count.symbols.all).toBeGreaterThan(0.9);
    expect(count.basses.right / count.basses.all).toBeGreaterThan(0.9);
  });

  it('has the notes of the piano in the hands they were written for, nineteen times in twenty', () => {
    const hands = handsAgainstPlan(stages[index]!, index === 3);
    expect(hands.all).toBeGreaterThan(400);
    expect(hands.right / hands.all).toBeGreaterThan(0.95);
  });

  it('spells the third of D7 as F sharp, a bar before the music turns to flats', () => {
    const bar = stages[index]!.reduced.bars.find((item) => item.number === 15)!;
    const names = bar.staves.flatMap((staff) =>
      staff.voices.flat().flatMap((event) => event.heads.map((head) => pitchName(head.pitch))),
    );
    expect(names.some((name) => name.startsWith('F#'))).toBe(true);
    expect(names.filter((name) => name.startsWith('Gb'))).toEqual([]);
  });
});
