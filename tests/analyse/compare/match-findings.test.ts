/** Which finding of a stage is still there at the next one: as a reader would say of two sentences that they are about the same thing. */
import { describe, expect, it } from 'vitest';
import { matchFindings } from '../../../src/analyse/compare/matches/match-findings.ts';
import type { Finding } from '../../../src/model/readings/readings.ts';
import { findingOf } from '../../support/published.ts';

const same = { partId: (id: string) => id, bar: (bar: number) => bar };

function stays(before: Finding, after: Finding): boolean {
  return matchFindings([before], [after], same).stayed.length === 1;
}

const covered = (from: number, to: number, ...partIds: readonly string[]): Finding =>
  findingOf({ rule: 'background-as-loud', from, to, partIds });

describe('a finding of the stage before', () => {
  it('is still there where most of its bars and its parts are the same', () => {
    expect(stays(covered(4, 12, 'clarinet', 'tuba'), covered(5, 12, 'clarinet', 'tuba'))).toBe(true);
    expect(stays(covered(4, 12, 'clarinet', 'tuba'), covered(6, 7, 'clarinet', 'tuba'))).toBe(true);
    expect(stays(covered(4, 12, 'clarinet', 'tuba'), covered(4, 12, 'clarinet', 'tuba', 'trombone'))).toBe(true);
    expect(stays(covered(4, 4), covered(4, 4))).toBe(true);
  });

  it('is gone where another one only touches its bars', () => {
    expect(stays(covered(4, 12, 'clarinet', 'tuba'), covered(12, 14, 'clarinet', 'tuba'))).toBe(false);
  });

  it('is gone where it is another part now that does it', () => {
    expect(stays(covered(4, 12, 'clarinet', 'tuba'), covered(4, 12, 'clarinet', 'trumpet'))).toBe(false);
  });

  it('is still there where it is told of the part that plays the same line now', () => {
    const fifths = (...partIds: readonly string[]): Finding =>
      findingOf({ rule: 'parallel-perfects', from: 13, to: 13, partIds });
    const doubles = (one: string, other: string, bar: number): boolean =>
      [one, other].sort().join() === 'fiddle,whistle' && bar === 13;
    const [before, after] = [[fifths('fiddle', 'bass')], [fifths('whistle', 'bass')]];
    expect(matchFindings(before, after, same, doubles).stayed).toEqual([[0, 0]]);
    expect(matchFindings(before, after, same).stayed).toEqual([]);
    expect(matchFindings(before, [fifths('whistle', 'guitar')], same, doubles).stayed).toEqual([]);
  });

  it('is still there where its rule became the plainer one of two that ask the same of the same part', () => {
    const rest = (rule: string, to: number): Finding => findingOf({ rule, from: 1, to, partIds: ['cornet'] });
    expect(stays(rest('breath', 16), rest('never-rests', 20))).toBe(true);
    expect(stays(rest('breath', 16), rest('tessitura', 20))).toBe(false);
  });

  it('that nothing was done about is still there in what it was parted into, and else is told as neither made nor mended', () => {
    const after = [covered(4, 5, 'clarinet'), covered(9, 12, 'clarinet', 'tuba', 'horn'), covered(20, 20, 'oboe')];
    const nothing = (): boolean => false;
    const none = (): boolean => false;
    const found = matchFindings(
      [covered(4, 12, 'clarinet', 'tuba'), covered(30, 30, 'oboe')],
      after,
      same,
      none,
      nothing,
    );
    expect(found).toEqual({
      appeared: [2],
      went: [1],
      unexplained: { appeared: [2], went: [1] },
      stayed: [
        [0, 0],
        [0, 1],
      ],
    });
  });
});
