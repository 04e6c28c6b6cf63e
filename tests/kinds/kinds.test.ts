/** Folders of many kinds: the hard facts. How often findings are right is counted by `npm run bench:accuracy -- kinds`. */
import { describe, expect, it } from 'vitest';
import { KINDS } from './folders.ts';
import { countKind } from './judge/count-kind.ts';
import { KEPT_ASIDE } from './kept-aside/folders.ts';
import { judgeKind } from './judge/judge-kind.ts';
import { tellsFlaw } from './judge/verdicts.ts';
import type { KindTruth, PlantedFlaw } from './kind.ts';

/** Rules that still tell somebody to mend what is right, by folder: to be emptied, never to grow. */
const STILL_WRONG: Readonly<Record<string, readonly string[]>> = {};

describe.each(KINDS.map((folder) => [folder.id, folder] as const))('%s', (_, folder) => {
  const count = judgeKind(folder).then(countKind);

  it('is read without a refusal', async () => {
    const { judged } = await count;
    expect(judged.problems.filter(({ kind }) => kind !== 'remark')).toEqual([]);
  });

  it('names tracks of its own in its truth', async () => {
    const { parts } = folder.truth;
    expect(namedIn(folder.truth).filter((track) => !Object.hasOwn(parts, track))).toEqual([]);
    const { judged } = await count;
    const read = judged.parts.flatMap((part) => part.tracks.map((track) => track.name));
    expect(read.filter((track) => !Object.hasOwn(parts, track))).toEqual([]);
  });

  // What is kept aside is counted and reported, and nothing is set by it.
  it.runIf(folder.half === 'tuning')('is not told to mend what is right', async () => {
    const { verdicts } = await count;
    const wrong = verdicts
      .filter(({ finding, verdict }) => finding.level === 'fix' && verdict === 'false')
      .filter(({ finding }) => STILL_WRONG[folder.id]?.includes(finding.rule) !== true);
    expect(wrong.map(({ finding, why }) => `${finding.message} (${why})`)).toEqual([]);
  });
});

/** What the truth names, and of what. */
function namedIn({ players, front, flaws, clean }: KindTruth): readonly string[] {
  return [
    ...Object.keys(players),
    ...front.flatMap((lead) => lead.tracks),
    ...flaws.flatMap((flaw) => flaw.parts),
    ...clean.flatMap((point) => point.parts ?? []),
  ];
}

// They are built by the bench alone; here no more than their truths are proof-read.
describe.each(KEPT_ASIDE.map((folder) => [folder.id, folder] as const))('%s, kept aside', (_, { truth, files }) => {
  it('names tracks of its own in its truth', () => {
    expect(namedIn(truth).filter((track) => !Object.hasOwn(truth.parts, track))).toEqual([]);
    expect([...files(1).values()].every((content) => content.length > 0)).toBe(true);
  });
});

describe('a finding and a planted flaw', () => {
  const flaw: PlantedFlaw = { id: 'x', bars: [9, 10], parts: ['Horn'], rules: ['breath'], say: '', weigh: true };
  const finding = { rule: 'breath', level: 'look', from: 9, to: 12, tracks: ['Horn', 'Oboe'], message: '' } as const;

  it('meet by rule, bars and part', () => {
    expect(tellsFlaw(finding, flaw, 32)).toBe(true);
    expect(tellsFlaw({ ...finding, rule: 'crossing' }, flaw, 32)).toBe(false);
    expect(tellsFlaw({ ...finding, from: 11 }, flaw, 32)).toBe(false);
    expect(tellsFlaw({ ...finding, tracks: ['Oboe'] }, flaw, 32)).toBe(false);
  });

  it('do not meet in a sweep over most of the piece, unless the flaw is as long', () => {
    expect(tellsFlaw({ ...finding, from: 1, to: 30 }, flaw, 32)).toBe(false);
    expect(tellsFlaw({ ...finding, from: 1, to: 30 }, { ...flaw, bars: [5, 32] }, 32)).toBe(true);
  });
});
