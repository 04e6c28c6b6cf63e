import { describe, expect, it } from 'vitest';
import { analyseStage } from '../../../src/analyse/analyse-stage.ts';
import type { Part, Stage } from '../../../src/model/music/arrangement.ts';
import type { PacingReading } from '../../../src/model/readings/pacing.ts';
import { partOf, stageOf, timelineOf } from '../../support/arrangement.ts';
import { writtenOf } from '../../support/written.ts';
import { figure } from '../../advise/stage-findings.ts';

const timeline = timelineOf(16);
const part = (instrument: string, music: string, changes: Partial<Part> = {}): Part =>
  partOf(instrument, music, timeline, changes);

function pacing(parts: readonly Part[], changes: Partial<Stage> = {}, time = timeline): PacingReading {
  const stage = stageOf(parts, time, changes);
  return analyseStage(stage, writtenOf(stage)).pacing!;
}

const tune = part('trumpet-bflat', figure('C5 E5', 1, 1, 16), { role: 'foreground' });

describe('entries and exits', () => {
  it('the time between entries is told in bars and seconds: four bars of four beats at 60 are 16 s', () => {
    const { entries } = pacing([tune, part('flute', figure('G5', 1, 5, 8)), part('oboe', figure('E5', 1, 9, 9))]);
    expect(entries.map(({ partId, bar, second }) => [partId, bar, second])).toEqual([
      ['trumpet-in-b-flat', 1, 0],
      ['flute', 5, 16],
      ['oboe', 9, 32],
    ]);
    expect(entries.map(({ sinceBars, sinceSeconds }) => [sinceBars, sinceSeconds])).toEqual([
      [undefined, undefined],
      [4, 16],
      [4, 16],
    ]);
  });

  it('a part that comes back has rested for the whole silent bars between, and for the seconds from its last sound', () => {
    const flute = part('flute', `${figure('G5', 1, 1, 2)} ${figure('G5', 1, 6, 6)}`);
    const { entries, exits } = pacing([tune, flute]);
    const back = entries.filter(({ partId }) => partId === 'flute');
    expect(back.map(({ restBars, restSeconds }) => [restBars, restSeconds])).toEqual([
      [0, 0],
      [3, 12],
    ]);
    const left = exits.filter(({ partId }) => partId === 'flute');
    expect(left.map(({ bar, restBars, restSeconds }) => [bar, restBars, restSeconds])).toEqual([
      [2, 3, 12],
      [6, undefined, undefined],
    ]);
  });

  it('an entry comes with a section, with a phrase of the foreground, or with nothing', () => {
    const sections = [
      { name: 'A', from: 1, to: 8 },
      { name: 'B', from: 9, to: 16 },
    ];
    // The tune holds a note through bar 6 and goes on in bar 7.
    const song = part('trumpet-bflat', `${figure('C5 E5', 1, 1, 5)} C5:20:4 ${figure('D5 F5', 1, 7, 16)}`, {
      role: 'foreground',
    });
    const at = (bar: number): string =>
      pacing([song, part('oboe', figure('E5', 1, bar, 12))], { sections }).entries.find((entry) => entry.bar === bar)!
        .comesWith;
    expect(at(9)).toBe('section');
    expect(at(7)).toBe('phrase');
    expect(at(5)).toBe('phrase'); // fourth bar of the section, by the count
    expect(at(8)).toBe('nothing');
    expect(at(3)).toBe('nothing');
  });

  it('an upbeat belongs to the section that it leads to', () => {
    const sections = [
      { name: 'A', from: 1, to: 8 },
      { name: 'B', from: 9, to: 16 },
    ];
    const oboe = part('oboe', `D5:31:1 ${figure('E5', 1, 9, 12)}`);
    expect(pacing([tune, oboe], { sections }).entries.at(-1)).toMatchObject({ bar: 8, comesWith: 'section' });
  });
});

describe('texture', () => {
  it('two parts in octaves are two parts and one line; a third of its own makes two lines', () => {
    const flute = part('flute', figure('C6 E6', 1, 1, 16));
    const horn = part('horn-f', figure('C4', 4, 1, 16));
    const { bars } = pacing([tune, flute, horn]);
    expect(bars[4]).toMatchObject({ bar: 5, lines: 2, families: ['brass', 'woodwind'] });
    expect(bars[4]!.partIds).toHaveLength(3);
  });

  it('a step lasts as long as the same players play, and says who came and went', () => {
    const { steps } = pacing([tune, part('flute', figure('G5', 1, 5, 8))]);
    expect(steps.map(({ from, to, seconds, came, went }) => [from, to, seconds, came, went])).toEqual([
      [1, 4, 16, ['trumpet-in-b-flat'], []],
      [5, 8, 16, ['flute'], []],
      [9, 16, 32, [], ['flute']],
    ]);
  });

  it('two equal sound powers together are 3 dB more than one', () => {
    const one = pacing([part('flute', figure('G5', 4, 1, 16))]).bars[3]!.levelDb!;
    const both = pacing([
      part('flute', figure('G5', 4, 1, 16), { name: 'Flute 1' }),
      part('flute', figure('G5', 4, 1, 16), { name: 'Flute 2' }),
    ]).bars[3]!.levelDb!;
    expect(both - one).toBeCloseTo(3.01, 1);
  });
});

describe('silence', () => {
  it('a bar in which nobody sounds is one event of four seconds', () => {
    const song = part('trumpet-bflat', `${figure('C5', 1, 1, 4)} ${figure('C5', 1, 6, 16)}`, { role: 'foreground' });
    expect(pacing([song]).silences).toMatchObject([{ from: 5, to: 5, second: 16, seconds: 4 }]);
  });

  it('a breath of half a beat is none, nor is a rest over which somebody holds', () => {
    const song = part('trumpet-bflat', 'C5:0:3.5 D5:4:8 E5:16:4', { role: 'foreground' });
    const { silences } = pacing([song]);
    expect(silences).toMatchObject([{ from: 4, to: 4 }]);
    expect(pacing([song, part('cello', 'C3:0:20')]).silences).toEqual([]);
  });
});

describe('peak', () => {
  const swell = Array.from({ length: 16 }, (_, bar) => figure('C5', 1, bar + 1, bar + 1, 40 + 5 * Math.min(bar, 11)));

  it('is the loudest bar, and the way to it begins where the music was lowest', () => {
    const { peak } = pacing([part('trumpet-bflat', swell.join(' '), { role: 'foreground' })]);
    expect(peak).toMatchObject({ risesFrom: 1, isSudden: false, parts: 1 });
    expect(peak!.bar).toBeGreaterThanOrEqual(11);
  });

  it('comes at once where the group comes in on a soft line', () => {
    const crash = ['horn-f', 'trombone', 'tuba'].map((id) => part(id, figure('C3', 4, 9, 10, 120)));
    const soft = part('flute', figure('C5', 1, 1, 16, 40), { role: 'foreground' });
    expect(pacing([soft, ...crash]).peak).toMatchObject({
      bar: 9,
      isSudden: true,
      share: 0.5,
      entering: ['horn-in-f', 'trombone', 'tuba'],
    });
  });

  it('there is none where nobody sounds', () => {
    expect(pacing([part('flute', '')]).peak).toBeUndefined();
  });
});

describe('rests and sections', () => {
  it('who rests how much, and where the longest rest lies', () => {
    const flute = part('flute', `${figure('G5', 1, 1, 2)} ${figure('G5', 1, 6, 10)}`);
    const { rests } = pacing([tune, flute]);
    expect(rests[1]).toEqual({
      partId: 'flute',
      soundingBars: 7,
      silentBars: 9,
      longestRest: { from: 3, to: 5 },
      longestRun: { from: 6, to: 10 },
    });
  });

  it('neighbouring sections are told apart by players, level and pace', () => {
    const sections = [
      { name: 'A', from: 1, to: 8 },
      { name: 'B', from: 9, to: 16 },
    ];
    const flute = part('flute', figure('G5', 0.5, 9, 16));
    const { sections: found } = pacing([tune, flute], { sections });
    expect(found[0]!.contrast).toBeUndefined();
    expect(found[1]).toMatchObject({ name: 'B', parts: 2, seconds: 32 });
    // One of two players is common; 1 onset a second becomes 3.
    expect(found[1]!.contrast).toMatchObject({ sharedParts: 0.5, partsChange: 1, paceRatio: 3 });
    expect(found[1]!.contrast!.levelChangeDb).toBeGreaterThan(0);
  });

  it('nothing breaks where there is nothing', () => {
    const reading = pacing([], {}, timelineOf(0));
    expect(reading).toMatchObject({ entries: [], exits: [], bars: [], steps: [], silences: [], rests: [] });
  });
});
