import { describe, expect, it } from 'vitest';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { outerNotes } from '../support/outer-notes.ts';

describe('the outer notes of a reduction', () => {
  const timeline = timelineOf(1);
  const flute = partOf('flute', 'C6:0:2 D6:2:2', timeline);
  const cello = { ...partOf('cello', 'C3:0:1 G2:1:1 C3:2:2', timeline), id: 'cello' };
  const stage = stageOf([flute, cello], timeline);
  const written = notateStage(stage);

  it('are all there where two parts play', () => {
    expect(outerNotes(stage, written)).toEqual({ moments: 3, highest: 3, lowest: 3 });
  });

  it('are missed where the score has none of them', () => {
    const bars = written.reduced.bars.map((bar) => ({ ...bar, staves: bar.staves.slice(0, 1) }));
    const counted = outerNotes(stage, { ...written, reduced: { ...written.reduced, bars } });
    expect(Math.min(counted.highest, counted.lowest)).toBe(0);
  });
});
