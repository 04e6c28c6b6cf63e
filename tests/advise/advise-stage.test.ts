import { describe, expect, it } from 'vitest';
import { RULES } from '../../src/advise/all-rules.ts';
import type { AcceptedFinding, Part } from '../../src/model/music/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { barsOf, findingsOf } from './stage-findings.ts';

const timeline = timelineOf(8);
const low = partOf('violin', 'A4:0:4 F#3:4:4 A4:8:4', timeline);

describe('the list of rules', () => {
  it('holds every rule with names of their own, each explained', () => {
    expect(new Set(RULES.map(({ name }) => name)).size).toBe(RULES.length);
    for (const rule of RULES) {
      expect(rule.name).toMatch(/^[a-z]+(-[a-z]+)*$/);
      for (const text of [rule.title, rule.looksAt, rule.why, rule.source]) expect(text.length).toBeGreaterThan(8);
      expect(rule.looksAt.endsWith('.') && rule.why.endsWith('.')).toBe(true);
    }
  });
});

describe('a clean small arrangement', () => {
  // A quartet setting of our own: tune on top, marked a grade over the rest, everybody in range and ending together.
  const quartet: Part[] = [
    partOf('violin', 'D5:0:2:90 E5:2:2:90 F5:4:3:90 E5:7:1:90 D5:8:4:90 A4:12:4:90', timeline, {
      name: 'Violin I',
      number: 1,
      role: 'foreground',
    }),
    partOf('violin', 'A4:0:4:60 A4:4:4:60 F4:8:4:60 E4:12:4:60', timeline, { name: 'Violin II', number: 2 }),
    partOf('viola', 'F4:0:4:60 D4:4:4:60 D4:8:4:60 C#4:12:4:60', timeline),
    partOf('cello', 'D3:0:4:60 D3:4:4:60 A2:8:4:60 A2:12:4:60', timeline),
  ];

  it('has no findings', () => {
    expect(findingsOf(stageOf(quartet, timeline))).toEqual([]);
  });

  it('nor has a stage with nothing in it', () => {
    expect(findingsOf(stageOf([], timeline))).toEqual([]);
    expect(findingsOf(stageOf([partOf('flute', '', timeline)], { bars: [], tempo: [] }))).toEqual([]);
  });
});

describe('an accepted finding', () => {
  const accept = (changes: Partial<AcceptedFinding>): AcceptedFinding[] => [
    { rule: 'outside-range', reason: 'retuned to F sharp', ...changes },
  ];
  const reasonOf = (changes: Partial<AcceptedFinding>) =>
    findingsOf(stageOf([low], timeline), {}, accept(changes)).find(({ rule }) => rule === 'outside-range')?.accepted;

  it('stays in the list with its reason', () => {
    expect(reasonOf({})).toBe('retuned to F sharp');
    expect(reasonOf({ from: 1, to: 4, partIds: ['violin'], stageId: 'stage-01-test' })).toBe('retuned to F sharp');
  });

  it('is open again in another rule, stage, part or beyond the accepted bars', () => {
    expect(reasonOf({ rule: 'late-part' })).toBeUndefined();
    expect(reasonOf({ stageId: 'stage-02' })).toBeUndefined();
    expect(reasonOf({ partIds: ['viola'] })).toBeUndefined();
    expect(reasonOf({ from: 3 })).toBeUndefined();
    expect(reasonOf({ to: 1 })).toBeUndefined();
  });
});

describe('the order of findings', () => {
  it('puts what must be mended before what should be looked at, and the worst first', () => {
    const parts = [
      { ...partOf('oboe', 'A4:0:4', timeline), latenessMs: { median: 70, spread: 5 } },
      partOf('violin', 'E3:4:4 D4:8:4 F#3:12:4 E7:24:1', timeline),
    ];
    const levels = findingsOf(stageOf(parts, timeline)).map(({ rule, level, from }) => `${level} ${rule} ${from}`);
    expect(levels.slice(0, 2)).toEqual(['fix outside-range 2', 'fix outside-range 4']);
    expect(levels.indexOf('look late-part 1')).toBeLessThan(levels.indexOf('note edge-of-range 7'));
  });
});

describe('names are text', () => {
  it('keeps markup in a name as it is, for the page to escape', () => {
    const hostile = { ...low, name: '<script>alert(1)</script>', id: 'x' };
    const findings = findingsOf(stageOf([hostile], timeline));
    expect(findings[0]?.message).toContain('<script>alert(1)</script>');
  });

  it('every finding of every rule has a message, an advice and a source', () => {
    const findings = findingsOf(stageOf([low, partOf('flute', 'C5:0:8 E5:0:8', timeline)], timeline));
    expect(barsOf(findings, 'too-many-notes')).toHaveLength(1);
    for (const { message, advice, source } of findings) {
      expect(message.endsWith('.') && advice.endsWith('.') && source !== '').toBe(true);
      expect(message).not.toMatch(/undefined|NaN|Infinity/);
    }
  });
});

describe('one cause is one finding', () => {
  it('the worst of every rule comes before the second worst of any', () => {
    const parts = [
      partOf('violin', 'E3:4:4 D4:8:4 F#3:12:4', timeline),
      partOf('bassoon', 'G2:4:4 D3:4:4', timeline, { number: 1 }),
      partOf('oboe', 'A4:0:4', timeline),
    ];
    const fixes = findingsOf(stageOf(parts, timeline)).filter(({ level }) => level === 'fix');
    expect(fixes.map(({ rule, from }) => `${rule} ${from}`)).toEqual([
      'outside-range 2',
      'too-many-notes 2',
      'outside-range 4',
    ]);
  });

  it('a rule leaves the word to another that says more about the same bars and parts', () => {
    // C2 of the basses under E2 of the left hand: narrow in the depth, so the meeting of two basses is not told again.
    const piano = partOf('piano', 'E2:0:16 C5:0:16', timeline, { role: 'foreground' });
    const rules = findingsOf(stageOf([piano, partOf('double-bass', 'C2:0:16', timeline)], timeline)).map(
      ({ rule }) => rule,
    );
    expect(rules).toContain('crowded-low');
    expect(rules).not.toContain('bass-doubled-too-close');
  });

  it('two parts of a kind share a chord that was copied to both; where one of them is free to take a note it is for the arranger to say', () => {
    const pair = (second: string): Part[] => [
      partOf('violin', 'A4:0:32', timeline, { role: 'foreground' }),
      partOf('oboe', 'B4:4:4 G5:4:4', timeline, { name: 'Oboe 1', number: 1 }),
      partOf('oboe', second, timeline, { name: 'Oboe 2', number: 2 }),
    ];
    const levels = (second: string) => barsOf(findingsOf(stageOf(pair(second), timeline)), 'too-many-notes');
    expect(levels('B4:4:4 G5:4:4')).toEqual([]);
    expect(levels('C5:16:4')).toEqual([['look', 2, 2]]);
    expect(levels('E5:4:4')).toEqual([['fix', 2, 2]]);
  });
});
