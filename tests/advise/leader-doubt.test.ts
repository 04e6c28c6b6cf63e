/** A finding is no surer than the leader it rests on. */
import { describe, expect, it } from 'vitest';
import { asSureAsLeader } from '../../src/advise/leader-doubt.ts';
import type { ForegroundSpan } from '../../src/model/music/arrangement.ts';
import { leadSpan, partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { barsOf, figure, findingsOf } from './stage-findings.ts';

const timeline = timelineOf(16);
const soft = partOf('flute', figure('C5 D5 E5 G5', 1, 1, 16, 40), timeline);
const loud = partOf('trombone', figure('C3 E3', 2, 1, 16, 120), timeline);
const heard = (foreground: readonly ForegroundSpan[]) =>
  barsOf(findingsOf(stageOf([soft, loud], timeline, { foreground })), 'background-as-loud');

describe('a background louder than the leader', () => {
  it('is told where somebody said who leads, and where the guess is sure', () => {
    expect(heard([leadSpan('flute', 1, 16)])).toHaveLength(1);
    expect(heard([leadSpan('flute', 1, 16, { certainty: 0.9 })])).toHaveLength(1);
  });

  it('is withheld where another reading of the leader is about as good', () => {
    expect(heard([leadSpan('flute', 1, 16, { certainty: 0.5, weak: true, rivalId: 'trombone' })])).toEqual([]);
  });
});

describe('the level of what rests on the leader', () => {
  const draft = { from: 1, to: 4, level: 'fix' as const };

  it('stays where it was said, and falls to a look where it was guessed', () => {
    expect(asSureAsLeader('background-as-loud', draft, [leadSpan('flute', 1, 8)])?.level).toBe('fix');
    expect(asSureAsLeader('background-as-loud', draft, [leadSpan('flute', 1, 8, { certainty: 0.9 })])?.level).toBe(
      'look',
    );
  });

  it('a range does not rest on it', () => {
    const weak = [leadSpan('flute', 1, 8, { certainty: 0.4, weak: true })];
    expect(asSureAsLeader('outside-range', draft, weak)?.level).toBe('fix');
  });
});
