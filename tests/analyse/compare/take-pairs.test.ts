/**
 * What a new take and a new export do is told as nothing; a part that was quantised, moved in time or scattered twice as wide is told.
 * The constants of `played-timing` were set on pieces of the first half; the second is kept aside.
 */
import { describe, expect, it } from 'vitest';
import { compareStages } from '../../../src/analyse/compare-stages.ts';
import type { Stage } from '../../../src/model/music/arrangement.ts';
import { ballad } from '../../kinds/folders/ballad.ts';
import { choirOrgan } from '../../kinds/folders/choir-organ.ts';
import { liedQuartet } from '../../kinds/folders/lied-quartet.ts';
import { windQuintet } from '../../kinds/folders/wind-quintet.ts';
import { stageOfKind } from '../../support/kind-stage.ts';
import { currentStageIn } from '../../support/read-stages.ts';
import { sampleFolders } from '../../support/sample.ts';
import { takePairs, type TakePair } from './take-pairs.ts';

const sample = (slug: string): Promise<Stage> =>
  currentStageIn(sampleFolders().find((path) => path.endsWith(slug)) ?? '');

const HALVES = [
  { half: 'tuning', stages: () => [sample('ferry-lights'), stageOfKind(ballad), stageOfKind(choirOrgan)] },
  { half: 'kept aside', stages: () => [sample('salt-stair'), stageOfKind(liedQuartet), stageOfKind(windQuintet)] },
];

function retimed({ before, after }: TakePair): readonly (readonly [string, string])[] {
  return compareStages(before, after).edits.flatMap(({ partId, timing }) =>
    timing === undefined ? [] : [[partId, timing.how] as const],
  );
}

describe.each(HALVES)('stages played or exported anew ($half)', ({ stages }) => {
  it('are told by what was done to the timing, and by nothing else', async () => {
    const pairs = (await Promise.all(stages())).flatMap((stage, index) => takePairs(stage.title, stage, 11 + index));
    const told = pairs.map((pair) => ({ pair, said: retimed(pair) }));
    const falseClaims = told.flatMap(({ pair, said }) =>
      said.filter(([id]) => id !== pair.partId).map((claim) => [pair.name, ...claim]),
    );
    const edits = told.filter(({ pair }) => pair.partId !== undefined);
    const expected = { quantised: 'quantised', later: 'later', scattered: 'freer', export: '', take: '' };
    const missed = edits
      .filter(({ pair, said }) => !said.some(([id, how]) => id === pair.partId && how === expected[pair.edit]))
      .map(({ pair }) => pair.name);
    // One in a thousand parts may be claimed by chance: none is expected among some two hundred.
    expect(falseClaims).toEqual([]);
    expect(missed.filter((name) => !name.includes('scattered'))).toEqual([]);
    // Twice the scatter cannot be told for certain from thirty notes.
    expect(missed.length).toBeLessThanOrEqual(0.1 * edits.length);
  });
});
