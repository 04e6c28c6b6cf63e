import { describe, expect, it } from 'vitest';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import type { PartEdit } from '../../src/model/readings/readings.ts';
import type { ComparedStage } from '../../src/analyse/compare-stages.ts';
import { compareStages } from '../../src/analyse/compare-stages.ts';
import type { Part } from '../../src/model/music/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { writtenOf } from '../support/written.ts';

const timeline = timelineOf(8);

function compared(id: string, parts: readonly Part[], withReadings = false): ComparedStage {
  const stage = stageOf(parts, timeline, { id });
  const written = writtenOf(stage);
  return withReadings ? { stage, written, readings: analyseStage(stage, written) } : { stage, written };
}

const flute = partOf('flute', 'C5:0:4 D5:4:4 E5:8:4 F5:12:4', timeline);
const before = compared('one', [flute]);

describe('from one stage to the next', () => {
  it('nothing has changed between a stage and itself', () => {
    const change = compareStages(before, before);
    expect(change).toMatchObject({ before: 'one', after: 'one', bars: [], edits: [], tempo: [], semitones: 0 });
    expect(Object.values(change.parts).flat()).toEqual([]);
    expect(change.barOrder).toEqual({
      inserted: [],
      appended: [],
      cut: [],
      moved: [],
      kept: [{ before: 1, after: 1, count: 8 }],
    });
  });

  it('nobody re-balanced the violins of a quartet that are taken for a section since a flute joined them', () => {
    const music = 'C5:0:4 D5:4:4 E5:8:4 F5:12:4';
    const assumed = (players: number): Part => partOf('violin', music, timeline, { players, playersBy: 'default' });
    const quartet = compared('one', [assumed(1)], true);
    expect(compareStages(quartet, compared('two', [flute, assumed(8)], true)).edits.map(({ kind }) => kind)).toEqual(
      [],
    );
    const stated = partOf('violin', music, timeline, { players: 8, playersBy: 'settings' });
    const edits = compareStages(quartet, compared('two', [flute, stated], true)).edits;
    expect(edits.map(({ partId, kind }) => [partId, kind])).toEqual([['violin', 'balance']]);
  });

  it('expression at zero under notes that stay is told as muted, and the way back as heard again', () => {
    const music = 'C3:0:4 D3:4:4 E3:8:4 F3:12:4';
    const down = {
      controller: 11,
      settingBefore: 100,
      points: [
        { quarters: 4, setting: 0 },
        { quarters: 12, setting: 100 },
      ],
    };
    const up = { controller: 11, settingBefore: 100, points: [] };
    const loud = compared('one', [partOf('cello', music, timeline, { curves: [up] })], true);
    const silent = compared('two', [partOf('cello', music, timeline, { curves: [down] })], true);
    const told = (edits: readonly PartEdit[]) => edits.map(({ kind, bars }) => [kind, bars]);
    expect(told(compareStages(loud, silent).edits)).toEqual([['muted', [2, 3]]]);
    expect(told(compareStages(silent, loud).edits)).toEqual([['unmuted', [2, 3]]]);
  });

  it('a swell that is drawn over the same keys struck is as loud as General MIDI has it, and nowhere louder', () => {
    const music = 'C3:0:4:50 D3:4:4:50 E3:8:4:50 F3:12:4:50';
    const swell = {
      controller: 11,
      settingBefore: 96,
      points: [
        { quarters: 0, setting: 96 },
        { quarters: 8, setting: 127 },
      ],
    };
    const plain = compared('one', [partOf('cello', music, timeline, { dynamics: 'velocity' })], true);
    const drawn = compared('two', [partOf('cello', music, timeline, { dynamics: 'cc11', curves: [swell] })], true);
    // 40 log10(setting / 127), General MIDI Level 2: 96 is 4.9 dB under the full gain that a channel has without the controller.
    const db = 40 * Math.log10(96 / 127);
    const [told, ...others] = compareStages(plain, drawn).edits;
    expect(told).toMatchObject({ kind: 'balance', bars: [1, 2], db: expect.closeTo(db, 1) as number });
    expect(others).toEqual([]);
    expect(compareStages(drawn, plain).edits).toMatchObject([
      { kind: 'balance', bars: [1, 2], db: expect.closeTo(-db, 1) as number },
    ]);
  });

  it('a volume over that of the reset makes a part louder, though no other states one', () => {
    const music = 'C3:0:4 D3:4:4 E3:8:4 F3:12:4';
    const volume = (setting: number) => ({ controller: 7, settingBefore: 100, points: [{ quarters: 0, setting }] });
    const cello = (setting?: number): Part =>
      partOf('cello', music, timeline, setting === undefined ? {} : { curves: [volume(setting)] });
    const plain = compared('one', [cello(), flute], true);
    // 100 at reset (General MIDI level 1), 40 log10(setting / 127) (General MIDI level 2).
    const db = 40 * Math.log10(112 / 100);
    const told = (one: ComparedStage, other: ComparedStage) => compareStages(one, other).edits;
    const louder = { partId: 'cello', kind: 'balance', bars: [1, 2, 3, 4] };
    expect(told(plain, compared('two', [cello(112), flute], true))).toMatchObject([
      { ...louder, db: expect.closeTo(db, 1) as number },
    ]);
    expect(told(compared('one', [cello(112), flute], true), plain)).toMatchObject([
      { ...louder, db: expect.closeTo(-db, 1) as number },
    ]);
    expect(told(plain, compared('two', [cello(100), flute], true))).toEqual([]);
  });

  it('a part played in anew is not re-balanced where one bar scatters a little more than the others', () => {
    const take = (...velocities: number[]): Part =>
      partOf('flute', velocities.map((velocity, bar) => `C5:${bar * 4}:4:${velocity}`).join(' '), timeline);
    const first = compared('one', [take(80, 80, 80, 80, 80, 80, 80, 80)], true);
    // A step of velocity is a third of a decibel on a flute: one to four steps of touch in every bar, five in one of them.
    const again = compared('two', [take(83, 77, 84, 76, 85, 77, 83, 76)], true);
    expect(compareStages(first, again).edits.map(({ kind }) => kind)).toEqual([]);
    // The same five steps where nothing else was touched were meant.
    const edited = compared('two', [take(80, 80, 80, 80, 90, 80, 80, 80)], true);
    expect(compareStages(first, edited).edits.map(({ kind, bars }) => [kind, bars])).toEqual([['balance', [5]]]);
  });

  describe('what follows from another edit is no edit of the balance', () => {
    const music = (velocity: number, pitches = 'C5 D5 E5 F5', later = 0): string =>
      pitches
        .split(' ')
        .map((pitch, bar) => `${pitch}:${4 * bar + later * ((-1) ** bar * (bar + 1))}:3.5:${velocity}`)
        .join(' ');
    const kinds = (one: Part, other: Part): readonly string[] =>
      compareStages(compared('one', [one], true), compared('two', [other], true)).edits.map(({ kind }) => kind);
    const loud = partOf('flute', music(90), timeline);

    it('a part that was given to another instrument', () => {
      const given = partOf('trumpet-bflat', music(60), timeline);
      expect(kinds(loud, given)).toEqual([]);
    });

    it('a part an octave lower, played softer there', () => {
      const lower = partOf('flute', music(60, 'C4 D4 E4 F4'), timeline);
      expect(kinds(loud, lower)).toEqual(['transposed']);
    });

    it('a part that was played in anew, every note elsewhere in time', () => {
      const anew = partOf('flute', music(60, undefined, 0.012), timeline);
      expect(kinds(loud, anew)).toEqual([]);
      // The same velocities, every note where it was: that was an edit.
      expect(kinds(loud, partOf('flute', music(60), timeline))).toEqual(['balance']);
    });

    it('but a gain set lower beside a new take is told', () => {
      const anew = { ...partOf('flute', music(90, undefined, 0.012), timeline), trimDb: -6 };
      expect(kinds(loud, anew)).toEqual(['balance']);
    });
  });

  it('a bar is rewritten or in another rhythm, not both', () => {
    const old = compared('one', [partOf('flute', 'C5:0:4 D5:4:4 E5:8:4 F5:12:4', timeline)]);
    // The D is held into bar 3, whose own note is another one.
    const tied = compared('two', [partOf('flute', 'C5:0:4 D5:4:6 G5:10:2 F5:12:4', timeline)]);
    const { edits } = compareStages(old, tied);
    const bars = edits.flatMap((edit) => edit.bars);
    expect(edits.some(({ kind }) => kind === 'rewritten')).toBe(true);
    expect(new Set(bars).size).toBe(bars.length);
  });

  it('a new part counts with the bars in which it plays', () => {
    const change = compareStages(before, compared('two', [flute, partOf('cello', 'C3:8:8', timeline)]));
    expect(change.parts).toMatchObject({ added: ['cello'], removed: [], changed: [] });
    expect(change.bars).toEqual([3, 4]);
  });

  it('reads the other way round as a part taken out', () => {
    const change = compareStages(compared('two', [flute, partOf('cello', 'C3:8:8', timeline)]), before);
    expect(change.parts).toMatchObject({ added: [], removed: ['cello'], changed: [] });
    expect(change.bars).toEqual([3, 4]);
  });

  it('a changed pitch changes its bar alone', () => {
    const after = compared('two', [partOf('flute', 'C5:0:4 D5:4:4 G5:8:4 F5:12:4', timeline)]);
    expect(compareStages(before, after).parts.changed).toEqual([{ partId: 'flute', bars: [3] }]);
  });

  it('a note held longer changes the bars that it newly fills', () => {
    const after = compared('two', [partOf('flute', 'C5:0:4 D5:4:4 E5:8:4 F5:12:12', timeline)]);
    expect(compareStages(before, after).bars).toEqual([5, 6]);
  });

  it('re-timing by less than a thirty-second is no change, by a sixteenth it is', () => {
    const slightly = compared('two', [partOf('flute', 'C5:0.1:3.9 D5:4:4 E5:8.1:4 F5:12:3.9', timeline)]);
    expect(compareStages(before, slightly).bars).toEqual([]);
    const clearly = compared('two', [partOf('flute', 'C5:0:4 D5:4.25:3.75 E5:8:4 F5:12:4', timeline)]);
    expect(compareStages(before, clearly).bars).toEqual([2]);
  });

  it('a level that moves by more than a dynamic grade changes the bar though the notes stay', () => {
    const louder = compared('two', [partOf('flute', 'C5:0:4 D5:4:4:115 E5:8:4:84 F5:12:4', timeline)], true);
    expect(compareStages(compared('one', [flute], true), louder).bars).toEqual([2]);
    expect(compareStages(before, louder).bars).toEqual([]);
  });

  it('a part counts as present where it plays, not where a track stands empty', () => {
    const empty = partOf('cello', '', timeline);
    expect(compareStages(compared('one', [flute, empty]), compared('two', [flute])).parts.removed).toEqual([]);
    const plays = partOf('cello', 'C3:8:8', timeline);
    expect(compareStages(compared('one', [flute, empty]), compared('two', [flute, plays])).parts.added).toEqual([
      'cello',
    ]);
  });

  it('another meter over the same music is told as such', () => {
    const halves = timelineOf(16, { numerator: 2, denominator: 4 });
    const waltz = timelineOf(8, { numerator: 8, denominator: 8 });
    const stage = stageOf([flute], waltz, { id: 'two' });
    const change = compareStages(before, { stage, written: writtenOf(stage) });
    expect(change.meter).toEqual([
      { from: 1, to: 8, before: { numerator: 4, denominator: 4 }, after: { numerator: 8, denominator: 8 } },
    ]);
    const short = stageOf([flute], halves, { id: 'two' });
    const parted = compareStages(before, { stage: short, written: writtenOf(short) });
    expect(parted.rebarred).toEqual([
      {
        from: 1,
        to: 16,
        fromBefore: 1,
        toBefore: 8,
        before: { numerator: 4, denominator: 4 },
        after: { numerator: 2, denominator: 4 },
      },
    ]);
    expect([parted.meter, parted.bars.length, parted.barOrder.inserted, parted.edits]).toEqual([[], 16, [], []]);
  });

  it('a finding stays where its part and bars are still there, under another number and name', () => {
    const finding = { rule: 'late-part', level: 'look', message: '', advice: '', source: '' } as const;
    const one = { ...before, findings: [{ ...finding, from: 3, to: 4, partIds: ['flute'] }] };
    const later = partOf('oboe', 'A4:0:4 C5:4:4 D5:8:4 E5:12:4 F5:16:4', timelineOf(9), { name: 'Oboe' });
    const stage = stageOf([later], timelineOf(9), { id: 'two' });
    const two = {
      stage,
      written: writtenOf(stage),
      findings: [
        { ...finding, from: 9, to: 9, partIds: ['oboe'] },
        { ...finding, from: 4, to: 5, partIds: ['oboe'] },
      ],
    };
    const change = compareStages(one, two);
    expect(change.parts.renamed).toEqual([{ before: 'flute', after: 'oboe' }]);
    const unexplained = { appeared: [0], went: [] };
    expect(change.findings).toEqual({ appeared: [0], went: [], unexplained, stayed: [[0, 1]] });
  });

  it('bars are told by their numbers, a pickup is bar 0', () => {
    const upbeat = timelineOf(4, { numerator: 3, denominator: 4 }, 60, 1);
    const line = partOf('flute', 'G4:-1:1 C5:0:3 D5:3:3 E5:6:3 F5:9:3', upbeat);
    const other = partOf('flute', 'A4:-1:1 C5:0:3 D5:3:3 E5:6:3 F5:9:3', upbeat);
    const at = (part: Part, id: string): ComparedStage => {
      const stage = stageOf([part], upbeat, { id });
      return { stage, written: writtenOf(stage) };
    };
    const change = compareStages(at(line, 'one'), at(other, 'two'));
    expect(change.bars).toEqual([0]);
    expect(change.edits).toEqual([{ partId: 'flute', kind: 'rewritten', bars: [0] }]);
  });

  it('a stage without bars or parts can be compared', () => {
    const nothing = stageOf([], timelineOf(0), { id: 'none', sections: [] });
    const none = { stage: nothing, written: writtenOf(nothing) };
    expect(compareStages(none, none).bars).toEqual([]);
    expect(compareStages(none, before).parts.added).toEqual(['flute']);
    expect(compareStages(before, none)).toMatchObject({ parts: { removed: ['flute'] }, barOrder: { inserted: [] } });
  });
});
