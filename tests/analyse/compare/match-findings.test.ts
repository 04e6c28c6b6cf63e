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
});
