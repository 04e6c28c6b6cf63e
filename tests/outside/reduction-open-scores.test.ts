/** Reductions of printed scores of open data (OpenScore, CC0): what they show, and that they say what they leave out. */
import { describe, expect, it } from 'vitest';
import type { ReducedScore } from '../../src/model/music/written.ts';
import { checkScore } from '../../src/notate/note-values/check-score.ts';
import { reduce } from '../../src/notate/reduction/reduction.ts';
import { scoreTimeOf } from '../../src/notate/score-time/score-time.ts';
import { readMxl } from '../support/musicxml-score.ts';
import { hasWholeData, openFile, openFiles, unlessWhole } from '../support/open-data.ts';
import { unsaidLosses } from '../support/reduction-truth.ts';
import { stageOfScore } from '../support/score-stage.ts';

interface Reduced {
  readonly score: ReducedScore;
  readonly losses: readonly string[];
  readonly notes: number;
}

function reducedOf(set: string, file: string): Reduced {
  const { stage, written } = stageOfScore(readMxl(openFile(set, file)), { foreground: 'Violin 1' });
  const time = scoreTimeOf(stage.timeline.bars);
  const score = reduce({ stage, written: written.parts, keys: [], chords: [], time });
  const notes = written.parts.reduce((sum, part) => sum + part.notes.length, 0);
  return { score, losses: unsaidLosses(stage, written.parts, score), notes };
}

const HAYDN = 'Haydn_104_1.mxl';
const ORCHESTRA = ['Beethoven_Op.36_3.mxl', ...(hasWholeData ? [HAYDN] : [])];

describe('open scores', () => {
  it.each(openFiles('openscore-quartets'))('the three lower parts of a quartet all stand on two staves: %s', (file) => {
    const { score, losses } = reducedOf('openscore-quartets', file);
    expect(checkScore(score)).toEqual([]);
    expect(losses).toEqual([]);
    expect(score.bars.flatMap((bar) => bar.leftOut)).toEqual([]);
  });

  it.each(ORCHESTRA)('an orchestra loses no note in silence, but for one in five thousand: %s', (file) => {
    const { score, losses, notes } = reducedOf('openscore-orchestra', file);
    expect(checkScore(score)).toEqual([]);
    expect(losses.length).toBeLessThanOrEqual(notes / 5_000);
    const silent = score.bars.filter((bar) => bar.leftOut.length > 0).length;
    expect(silent / score.bars.length).toBeLessThan(0.2);
  });

  it.runIf(hasWholeData)(`an orchestra in unison and octaves is one line and one word${unlessWhole}`, () => {
    // Haydn, symphony 104, first movement: the opening is in unison and octaves throughout.
    const { score } = reducedOf('openscore-orchestra', HAYDN);
    const [first] = score.bars;
    expect(first?.names.map((name) => name.text)).toContain('+ tutti in octaves, to bar 2');
  });
});
