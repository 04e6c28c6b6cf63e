/** The measure itself, and a few of its folders: `npm run bench:edits` has them all. */
import { describe, expect, it } from 'vitest';
import { liedQuartet } from '../kinds/folders/lied-quartet.ts';
import { kindBase } from './bases.ts';
import { comparedFolder, foldersOf } from './edit-folders.ts';
import { judgeEdits } from './judge-edits.ts';

const base = await kindBase(liedQuartet);
const folders = foldersOf(base, 9, 41);

describe('known edits of a song with quartet', () => {
  it('nothing is told of the same file, of a new export and of a new take', async () => {
    for (const folder of folders.slice(0, 3)) {
      const { change, before, after } = await comparedFolder(folder);
      expect(folder.edits).toEqual([]);
      expect(judgeEdits(folder.edited, change, before, after)).toEqual({ verdicts: [], falseClaims: [] });
    }
  });

  it('each is named with its parts and bars, and nothing else', async () => {
    for (const folder of folders.slice(3)) {
      const { change, before, after } = await comparedFolder(folder);
      const { verdicts, falseClaims } = judgeEdits(folder.edited, change, before, after);
      expect(verdicts.filter(({ isRight }) => !isRight)).toEqual([]);
      expect(falseClaims).toEqual([]);
    }
  });

  it('the judge misses what is not said, and blames what was not done', async () => {
    const folder = folders.slice(3).find(({ edited }) => edited.claims.length > 0)!;
    const { change, before, after } = await comparedFolder(folder);
    const silent = { ...(await comparedFolder(folders[0]!)).change, before: before.id, after: after.id };
    const { verdicts } = judgeEdits(folder.edited, silent, before, after);
    expect(verdicts.map(({ isRight }) => isRight)).toEqual(folder.edited.claims.map(() => false));
    const nothingDone = { ...folder.edited, claims: [] };
    expect(judgeEdits(nothingDone, change, before, after).falseClaims.length).toBeGreaterThan(0);
  });
});
