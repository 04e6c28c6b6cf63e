import { describe, expect, it } from 'vitest';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import type { ComparedStage } from '../../src/analyse/compare-stages.ts';
import { compareStages } from '../../src/analyse/compare-stages.ts';
import type { Part } from '../../src/model/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { writtenOf } from '../support/written.ts';

const timeline = timelineOf(8);

function compared(id: string, parts: readonly Part[], withReadings = false): ComparedStage {
  const stage = stageOf(parts, timeline, { id });
  const written = writtenOf(stage);
  return withReadings ? { stage, written, readings: analyseStage(stage, written) } : { stage, written };
}

const flute = partOf('flute', 'C5:0:4 D5:4:4 E5:8:4 F5:12:4', timeline);
const before = compared('one', [flute]);

describe('from one stage to the next', () => {
  it('nothing has changed between a stage and itself', () => {
    expect(compareStages(before, before)).toEqual({
      before: 'one',
      after: 'one',
      parts: { added: [], removed: [], changed: [] },
      bars: [],
    });
  });

  it('a new part counts with the bars in which it plays', () => {
    const change = compareStages(before, compared('two', [flute, partOf('cello', 'C3:8:8', timeline)]));
    expect(change.parts).toEqual({ added: ['cello'], removed: [], changed: [] });
    expect(change.bars).toEqual([3, 4]);
  });

  it('reads the other way round as a part taken out', () => {
    const change = compareStages(compared('two', [flute, partOf('cello', 'C3:8:8', timeline)]), before);
    expect(change.parts).toEqual({ added: [], removed: ['cello'], changed: [] });
    expect(change.bars).toEqual([3, 4]);
  });

  it('a changed pitch changes its bar alone', () => {
    const after = compared('two', [partOf('flute', 'C5:0:4 D5:4:4 G5:8:4 F5:12:4', timeline)]);
    expect(compareStages(before, after).parts.changed).toEqual([{ partId: 'flute', bars: [3] }]);
  });

  it('a note held longer changes the bars that it newly fills', () => {
    const after = compared('two', [partOf('flute', 'C5:0:4 D5:4:4 E5:8:4 F5:12:12', timeline)]);
    expect(compareStages(before, after).bars).toEqual([5, 6]);
  });

  it('re-timing by less than a thirty-second is no change, by a sixteenth it is', () => {
    const slightly = compared('two', [partOf('flute', 'C5:0.1:3.9 D5:4:4 E5:8.1:4 F5:12:3.9', timeline)]);
    expect(compareStages(before, slightly).bars).toEqual([]);
    const clearly = compared('two', [partOf('flute', 'C5:0:4 D5:4.25:3.75 E5:8:4 F5:12:4', timeline)]);
    expect(compareStages(before, clearly).bars).toEqual([2]);
  });

  it('a level that moves by more than a dynamic grade changes the bar though the notes stay', () => {
    const louder = compared('two', [partOf('flute', 'C5:0:4 D5:4:4:115 E5:8:4:84 F5:12:4', timeline)], true);
    expect(compareStages(compared('one', [flute], true), louder).bars).toEqual([2]);
    expect(compareStages(before, louder).bars).toEqual([]);
  });
});
