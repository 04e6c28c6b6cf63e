/** Levels on two scales: one part shaped by a controller beside others that go by velocity. That nothing compares a setting with a velocity is common practice, no source. */
import { describe, expect, it } from 'vitest';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import type { Part } from '../../src/model/music/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { writtenOf } from '../support/written.ts';
import { barsOf, figure, findingsOf, steps } from './stage-findings.ts';

const timeline = timelineOf(16);
const LOUD = [steps(11, 118, [0, 118])];
const SOFT = [steps(11, 40, [0, 40])];

const oboe = (changes: Parameters<typeof partOf>[3] = {}): Part =>
  partOf('oboe', figure('C5 D5 E5 G5', 1, 1, 16, 90), timeline, { role: 'foreground', ...changes });
const violas = partOf('viola', figure('E3 F3', 2, 1, 16, 50), timeline, { players: 2 });
/** Four violins with soft touch, whose expression stands high. */
const violins = (velocity: number, changes: Parameters<typeof partOf>[3] = {}): Part =>
  partOf('violin', figure('G5 A5', 2, 1, 16, velocity), timeline, {
    players: 4,
    name: 'Violin I',
    number: 1,
    dynamics: 'cc11',
    curves: LOUD,
    ...changes,
  });
const louder = (...parts: Part[]) => barsOf(findingsOf(stageOf(parts, timeline)), 'background-as-loud');

describe('a part shaped by a controller beside parts that go by velocity', () => {
  it('is not called too loud where its own velocities make it soft', () => {
    expect(louder(oboe(), violas, violins(45))).toEqual([]);
  });

  it('is where its velocities say the same', () => {
    expect(louder(oboe({ name: 'Oboe' }), violas, violins(120))).toEqual([['look', 1, 16]]);
  });

  it('is where the tune goes by controller 11 as well: that is one scale', () => {
    const front = oboe({ dynamics: 'cc11', curves: SOFT });
    expect(louder(front, violas, violins(45))).toEqual([['look', 1, 16]]);
  });

  it('is where it swells by itself: that is so on any scale', () => {
    const swell = violins(70, { curves: [steps(11, 40, [0, 40], [32, 120], [48, 40])] });
    expect(louder(oboe(), violas, swell)).toEqual([['look', 9, 12]]);
  });

  it('hides nobody who is too loud on the scale of the tune', () => {
    const horn = partOf('horn-f', figure('C5 B4', 2, 5, 8, 122), timeline);
    expect(louder(oboe(), violas, violins(45), horn)).toEqual([['look', 5, 8]]);
  });

  it('is no second part over the first, nor under it, by the difference of the scales alone', () => {
    const second = (velocity: number): Part =>
      partOf('violin', figure('E4 D4', 2, 1, 16, velocity), timeline, { players: 4, name: 'Violin II', number: 2 });
    const over = (...parts: Part[]) => barsOf(findingsOf(stageOf(parts, timeline)), 'support-over-lead');
    const byWheel = { dynamics: 'cc1', curves: [steps(1, 40, [0, 40])] } as const;
    expect(over(oboe(), violins(90, byWheel), second(60))).toEqual([]);
    expect(over(oboe(), violins(45), second(60))).toEqual([]);
    expect(over(oboe(), violins(45, { curves: SOFT }), second(100))).toEqual([['look', 1, 16]]);
  });

  it('has it said beside its level, and what is struck or plucked by velocity makes no second scale', () => {
    const said = (...parts: Part[]) => {
      const stage = stageOf(parts, timeline);
      return analyseStage(stage, writtenOf(stage, [])).levelAssumptions.filter(({ text }) =>
        text.includes('two scales'),
      );
    };
    expect(said(oboe(), violas, violins(45)).map(({ partId }) => partId)).toEqual(['violin-i']);
    const piano = partOf('piano', figure('C3 G3', 1, 1, 16), timeline);
    expect(said(oboe({ dynamics: 'cc11', curves: SOFT }), violins(45), piano)).toEqual([]);
    expect(said(oboe(), violas)).toEqual([]);
  });
});
