/**
 * What lets a finding appear or go: a note or a level in its bars, of a part that it speaks of or of what that is measured against. Common
 * practice, no source: nobody mends parallel fifths by another level, and nobody covers a tune by taking a rest.
 */
import { describe, expect, it } from 'vitest';
import { doneAbout } from '../../../src/analyse/compare/matches/done-about.ts';
import { findingCauses } from '../../../src/analyse/compare/matches/finding-causes.ts';
import type { Finding, StageChange } from '../../../src/model/readings/readings.ts';
import { findingOf } from '../../support/published.ts';

type Step = Parameters<typeof doneAbout>[0];

const NOTHING: Step = {
  before: 'one',
  after: 'two',
  parts: { added: [], removed: [], changed: [], renamed: [], split: [], joined: [] },
  semitones: 0,
  barOrder: { inserted: [], appended: [], cut: [], moved: [], kept: [{ before: 1, after: 1, count: 16 }] },
  tempo: [],
  meter: [],
  rebarred: [],
  shifted: [],
  given: [],
  doublings: [],
  entries: [],
  chords: [],
  edits: [],
};
const NOBODY = { came: new Set<number>(), went: new Set<number>() };

const fifths = findingOf({ rule: 'parallel-perfects', from: 8, to: 8, partIds: ['violin', 'cello'] });
const covered = findingOf({ rule: 'background-as-loud', from: 5, to: 8, partIds: ['cello'] });
const breath = findingOf({ rule: 'breath', from: 1, to: 16, partIds: ['horn'] });

function edited(partId: string, kind: StageChange['edits'][number]['kind'], ...bars: readonly number[]): Step {
  return { ...NOTHING, edits: [{ partId, kind, bars }] };
}

describe('bars that were put in', () => {
  const longer: Step = {
    ...NOTHING,
    barOrder: {
      inserted: [9, 10],
      appended: [],
      cut: [],
      moved: [],
      kept: [
        { before: 1, after: 1, count: 8 },
        { before: 9, after: 11, count: 8 },
      ],
    },
  };

  it('relieve who rests in them, and nobody who plays on through them', () => {
    const strain = findingOf({ rule: 'stamina', from: 1, to: 16, partIds: ['horn'] });
    const at = (plays: boolean): boolean => doneAbout(longer, { ...NOBODY, plays: () => plays })('before', strain);
    expect([at(true), at(false)]).toEqual([false, true]);
    // More to play may tire whom nothing tired before.
    expect(doneAbout(longer, { ...NOBODY, plays: () => true })('after', { ...strain, to: 18 })).toBe(true);
  });
});

describe('what makes somebody tire', () => {
  const tempo = (before: number, after: number): Step => ({ ...NOTHING, tempo: [{ from: 1, to: 16, before, after }] });

  it('is a slower tempo, and what relieves a faster one: ranges have neither', () => {
    const strain = findingOf({ rule: 'never-rests', from: 1, to: 16, partIds: ['horn'] });
    const range = findingOf({ rule: 'outside-range', from: 1, to: 16, partIds: ['horn'] });
    expect([isDone(tempo(92, 84), strain), isDone(tempo(84, 92), strain)]).toEqual([true, false]);
    expect([isDone(tempo(92, 84), strain, 'before'), isDone(tempo(84, 92), strain, 'before')]).toEqual([false, true]);
    expect(isDone(tempo(92, 84), range)).toBe(false);
  });

  it('is a higher pitch where lips are asked, and no lower one', () => {
    const lips = findingOf({ rule: 'brass-endurance', from: 1, to: 16, partIds: ['horn'] });
    expect([2, -2].map((semitones) => isDone({ ...NOTHING, semitones }, lips))).toEqual([true, false]);
  });

  it('is named as the cause, and of two parts the one that the finding names', () => {
    const strain = findingOf({ rule: 'never-rests', from: 1, to: 16, partIds: ['horn'] });
    expect(findingCauses(tempo(92, 84), NOBODY)('after', strain)).toEqual([{ kind: 'tempo' }]);
    const both: Step = {
      ...NOTHING,
      edits: ['oboe', 'cello'].map((partId) => ({ partId, kind: 'rewritten', bars: [7] })),
    };
    expect(findingCauses(both, NOBODY)('after', covered)).toEqual([{ kind: 'part', partId: 'cello' }]);
    const others: Step = { ...NOTHING, edits: [{ partId: 'oboe', kind: 'rewritten', bars: [7] }] };
    expect(findingCauses(others, NOBODY)('after', covered)).toEqual([{ kind: 'part', partId: 'oboe' }]);
  });
});

function isDone(step: Step, finding: Finding, stage: 'before' | 'after' = 'after', company = NOBODY): boolean {
  return doneAbout(step, company)(stage, finding);
}

describe('what was done to what a finding speaks of', () => {
  it('is nothing where only the playing changed', () => {
    expect([fifths, covered, breath].map((finding) => isDone(edited('cello', 'timing', 5, 6, 7, 8), finding))).toEqual([
      false,
      false,
      false,
    ]);
  });

  it('is a note of a part that it names, and of others where it speaks of what sounds together', () => {
    expect(isDone(edited('cello', 'rewritten', 8), fifths)).toBe(true);
    expect(isDone(edited('oboe', 'rewritten', 8), fifths)).toBe(false);
    expect(isDone(edited('oboe', 'rewritten', 8), covered)).toBe(true);
    expect(isDone(edited('oboe', 'rewritten', 12), covered)).toBe(false);
  });

  it('is a level where loudness is asked, and not where notes are', () => {
    expect(isDone(edited('cello', 'balance', 5, 6, 7, 8), covered)).toBe(true);
    expect(isDone(edited('cello', 'balance', 5, 6, 7, 8), fifths)).toBe(false);
  });

  it('is something louder behind the tune where it is covered now, and something softer where it no longer is', () => {
    const set = (db: number): Step => ({
      ...NOTHING,
      edits: [{ partId: 'oboe', kind: 'balance', bars: [5, 6, 7, 8], db }],
    });
    expect([isDone(set(3), covered), isDone(set(-3), covered)]).toEqual([true, false]);
    expect([isDone(set(3), covered, 'before'), isDone(set(-3), covered, 'before')]).toEqual([false, true]);
    // Who covers is named behind who is covered.
    const byOboe = { ...covered, partIds: ['cello', 'oboe'] };
    expect([isDone(set(3), byOboe, 'before'), isDone(set(3), byOboe)]).toEqual([false, true]);
    const front = { ...NOTHING, edits: [{ partId: 'cello', kind: 'balance' as const, bars: [5, 6, 7, 8], db: 3 }] };
    expect(isDone(front, byOboe, 'before')).toBe(true);
  });

  it('is a line that another part has now where it speaks of players, and not of pitches, which sound on', () => {
    const given = [{ from: 'violin', to: 'clarinet', octaves: 0, bars: [7, 8, 9] }];
    const edits: Step['edits'] = [
      { partId: 'violin', kind: 'silenced', bars: [7, 8, 9], toldWith: 'given' },
      { partId: 'clarinet', kind: 'extended', bars: [7, 8, 9], toldWith: 'given' },
    ];
    const above = findingOf({ rule: 'background-above-melody', from: 7, to: 9, partIds: ['violin', 'cello'] });
    const long = { ...breath, partIds: ['clarinet'] };
    const step = { ...NOTHING, edits, given };
    expect([fifths, above, long].map((finding) => isDone(step, finding))).toEqual([false, false, true]);
    const lower = { ...step, given: given.map((item) => ({ ...item, octaves: -1 })) };
    expect([fifths, above].map((finding) => isDone(lower, finding))).toEqual([true, true]);
  });

  it('is a note that is held longer where a breath is asked, and not where lines go side by side', () => {
    const held: Step = { ...NOTHING, edits: [{ partId: 'violin', kind: 'rhythm', held: 'longer', bars: [7, 8, 9] }] };
    expect([isDone(held, fifths), isDone(held, { ...breath, partIds: ['violin'] })]).toEqual([false, true]);
  });

  it('is another pitch of the whole where range is asked, and not where intervals are', () => {
    const lower = { ...NOTHING, semitones: -2 };
    expect(isDone(lower, findingOf({ rule: 'outside-range', partIds: ['horn'] }))).toBe(true);
    expect(isDone(lower, fifths)).toBe(false);
    expect(isDone(lower, breath)).toBe(false);
  });

  it('is another tempo where a breath is asked', () => {
    const slower = { ...NOTHING, tempo: [{ from: 1, to: 16, before: 92, after: 80 }] };
    expect([isDone(slower, breath), isDone(slower, fifths)]).toEqual([true, false]);
  });

  it('is a part that came in where something covers now, and not where it no longer does', () => {
    const company = { came: new Set([5, 6, 7, 8]), went: new Set<number>() };
    expect(isDone(NOTHING, covered, 'after', company)).toBe(true);
    expect(isDone(NOTHING, covered, 'before', company)).toBe(false);
    expect(isDone(NOTHING, covered, 'before', { came: NOBODY.went, went: new Set([6]) })).toBe(true);
  });

  it('is a union of two parts where a player is asked, not where the same notes sound on, and never another name', () => {
    const { parts } = NOTHING;
    const joined = { ...NOTHING, parts: { ...parts, joined: [{ before: ['violin', 'viola'], after: 'violas' }] } };
    const ofViola = findingOf({ rule: 'breath', from: 1, to: 16, partIds: ['viola'] });
    expect([isDone(joined, ofViola, 'before'), isDone(joined, fifths, 'before')]).toEqual([true, false]);
    const renamed = { ...NOTHING, parts: { ...parts, renamed: [{ before: 'violin', after: 'viola' }] } };
    expect(isDone(renamed, fifths, 'before')).toBe(false);
  });

  it('is a note of the passage itself where the finding only compares with the stage before, as a passage that stands a beat later', () => {
    const late = findingOf({ rule: 'displaced-part', from: 5, to: 8, partIds: ['viola'] });
    expect(isDone(edited('viola', 'moved', 5, 6, 7, 8), late, 'before')).toBe(true);
    expect(isDone(edited('viola', 'rewritten', 9), late, 'before')).toBe(false);
    expect(isDone(edited('violin', 'rewritten', 6), late, 'before')).toBe(false);
  });

  it('is a bar that was cut beside it, and not that all bars have other numbers', () => {
    const kept = [
      { before: 1, after: 1, count: 4 },
      { before: 7, after: 5, count: 10 },
    ];
    const cut = { ...NOTHING, barOrder: { ...NOTHING.barOrder, cut: [5, 6], kept } };
    const at = (bar: number): Finding => ({ ...fifths, from: bar, to: bar });
    expect([4, 5, 7].map((bar) => isDone(cut, at(bar), 'before'))).toEqual([true, true, true]);
    expect([2, 9, 16].map((bar) => isDone(cut, at(bar), 'before'))).toEqual([false, false, false]);
    expect([5, 14].map((bar) => isDone(cut, at(bar)))).toEqual([true, false]);
    // How loud the bars are that stand beside it now does not hang on that.
    expect(isDone(cut, { ...covered, from: 7, to: 9 }, 'before')).toBe(false);
    expect(isDone(cut, { ...covered, from: 5, to: 9 }, 'before')).toBe(true);
  });
});
