import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/music/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { barsOf, figure, findingsOf, messageOf } from './stage-findings.ts';

const timeline = timelineOf(32);
const sections = [
  { name: 'A', from: 1, to: 16 },
  { name: 'B', from: 17, to: 32 },
];
const solo = partOf('trumpet-bflat', figure('C5 E5', 1, 1, 32, 100), timeline, { role: 'foreground' });
const part = (instrument: string, music: string): Part => partOf(instrument, music, timeline);
const findingsFor = (...parts: Part[]) => findingsOf(stageOf([solo, ...parts], timeline, { sections }));

describe('entry-off-phrase', () => {
  const bassoon = part('bassoon', figure('C3', 1, 17, 20));

  it('an oboe that comes in at once in the seventh bar of a section, after six bars of rest', () => {
    const findings = findingsFor(bassoon, part('oboe', figure('E5', 1, 7, 10)));
    expect(barsOf(findings, 'entry-off-phrase')).toEqual([['note', 7, 7]]);
    expect(messageOf(findings, 'entry-off-phrase')).toContain(
      'Oboe comes in at once in bar 7 after 6 bars (24 s) of rest',
    );
  });

  it('comes with the section, with its fourth bar or with the upbeat to it: none', () => {
    for (const music of [figure('E5', 1, 17, 20), figure('E5', 1, 9, 12), `D5:63:1 ${figure('E5', 1, 17, 20)}`]) {
      expect(barsOf(findingsFor(bassoon, part('oboe', music)), 'entry-off-phrase')).toEqual([]);
    }
  });

  it('a short rest, an entry from nothing, the foreground itself and a drum are none', () => {
    const shortRest = part('oboe', `${figure('E5', 1, 1, 4)} ${figure('E5', 1, 7, 10)}`);
    expect(barsOf(findingsFor(bassoon, shortRest), 'entry-off-phrase')).toEqual([]);
    const fromNothing = partOf('oboe', figure('E5', 16, 7, 10), timeline, {
      dynamics: 'cc11',
      curves: [
        {
          controller: 11,
          settingBefore: 127,
          points: [0, 1, 2, 3, 4].map((beat) => ({ quarters: 24 + beat, setting: 25 * beat })),
        },
      ],
    });
    expect(barsOf(findingsFor(bassoon, fromNothing), 'entry-off-phrase')).toEqual([]);
    expect(barsOf(findingsFor(bassoon, part('timpani', figure('C3', 1, 7, 7))), 'entry-off-phrase')).toEqual([]);
  });

  it('where most entries stand off the count, the count is not that of the music', () => {
    const findings = findingsFor(part('oboe', figure('E5', 1, 7, 10)), part('flute', figure('G5', 1, 12, 14)));
    expect(barsOf(findings, 'entry-off-phrase')).toEqual([]);
  });
});

describe('all-at-once', () => {
  const group = ['flute', 'oboe', 'clarinet-bflat', 'bassoon', 'horn-f'];

  it('five of six parts that come in together under a trumpet alone', () => {
    const findings = findingsFor(...group.map((id) => part(id, figure('C4', 1, 9, 16))));
    expect(barsOf(findings, 'all-at-once')).toEqual([['note', 9, 9]]);
    expect(messageOf(findings, 'all-at-once')).toContain('5 of 6 parts come in together in bar 9');
    expect(messageOf(findings, 'all-at-once')).toContain('in the bar before 1 part sounds');
  });

  it('one after another, or at the very beginning, is none', () => {
    const staggered = group.map((id, index) => part(id, figure('C4', 1, 9 + 2 * index, 24)));
    expect(barsOf(findingsFor(...staggered), 'all-at-once')).toEqual([]);
    const atOnce = group.map((id) => part(id, figure('C4', 1, 1, 16)));
    expect(barsOf(findingsFor(...atOnce), 'all-at-once')).toEqual([]);
  });

  it('a small group may come in together', () => {
    const four = group.slice(0, 4).map((id) => part(id, figure('C4', 1, 9, 16)));
    expect(barsOf(findingsFor(...four), 'all-at-once')).toEqual([]);
  });

  it('the share can be set', () => {
    const stage = stageOf([solo, ...group.map((id) => part(id, figure('C4', 1, 9, 16)))], timeline, { sections });
    expect(barsOf(findingsOf(stage, { 'all-at-once': 90 }), 'all-at-once')).toEqual([]);
  });
});
