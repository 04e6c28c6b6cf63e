/**
 * Hands against the pianos of printed songs: OpenScore Lieder (CC0, tests/data/LICENCES.md), played by a seeded machine with 20 ms of scatter, the
 * onsets as printed. Which staff a note stands on is an editor's choice too: about one in twenty is written against the hand that plays it.
 */
import { describe, expect, it } from 'vitest';
import { stavesOf } from '../../src/notate/voices/hands.ts';
import { readMxl, timelineOfScore } from '../support/musicxml-score.ts';
import { openFile, openFiles } from '../support/open-data.ts';
import { play } from '../support/playing.ts';

const SET = 'openscore-lieder';

function staffShare(name: string): number {
  const score = readMxl(openFile(SET, name));
  const timeline = timelineOfScore(score, 90);
  const answers = score.parts
    .filter(({ staves }) => staves === 2)
    .flatMap(({ notes }, index) => {
      const { part, truth } = play('piano', notes, timeline, 20, index + 91);
      const staves = stavesOf(
        part,
        truth.map(({ start }) => Math.round(start * 480)),
      );
      return staves.map((staff, at) => staff === truth[at]?.staff);
    });
  return answers.filter(Boolean).length / Math.max(1, answers.length);
}

describe('the hands of printed songs', () => {
  it('are found for 93 notes of 100 in the mean of the songs, for 84 in each', () => {
    const shares = openFiles(SET).map(staffShare);
    expect(shares.reduce((sum, share) => sum + share, 0) / shares.length).toBeGreaterThan(0.93);
    expect(Math.min(...shares)).toBeGreaterThan(0.845);
  });
});
