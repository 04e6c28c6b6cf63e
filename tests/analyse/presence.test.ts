import { describe, expect, it } from 'vitest';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import type { ControllerCurve, Part } from '../../src/model/music/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { writtenOf } from '../support/written.ts';

const timeline = timelineOf(12);

function presenceOf(...parts: Part[]) {
  const stage = stageOf(parts, timeline);
  return analyseStage(stage, writtenOf(stage)).presence;
}

/** A straight ramp of controller 1, a point every eighth of a quarter. */
function ramp(from: number, to: number, startSetting: number, endSetting: number): ControllerCurve {
  const steps = Math.round((to - from) * 8);
  const points = Array.from({ length: steps + 1 }, (_, step) => ({
    quarters: from + step / 8,
    setting: Math.round(startSetting + ((endSetting - startSetting) * step) / steps),
  }));
  return { controller: 1, points, settingBefore: 0 };
}

const solo = (music: string): Part => partOf('oboe', music, timeline, { role: 'foreground' });

describe('presence', () => {
  it('is broken by a whole silent bar and not by a shorter rest', () => {
    const spans = presenceOf(partOf('flute', 'C5:0:1 C5:7:1 C5:16:2 C5:28:4', timeline));
    expect(spans.map(({ from, to }) => [from, to])).toEqual([
      [1, 2],
      [5, 5],
      [8, 8],
    ]);
    expect(spans[1]).toMatchObject({ firstQuarters: 16, lastQuarters: 18 });
  });

  it('does not count the bar in which a note ends on the bar line', () => {
    expect(presenceOf(partOf('flute', 'C5:0:8', timeline))[0]).toMatchObject({ from: 1, to: 2 });
  });

  it('counts a pickup as bar 0', () => {
    const withPickup = timelineOf(4, { numerator: 4, denominator: 4 }, 60, 1);
    const stage = stageOf([partOf('flute', 'G4:-1:1 C5:0:4', withPickup)], withPickup);
    expect(analyseStage(stage, writtenOf(stage)).presence[0]).toMatchObject({ from: 0, to: 1 });
  });
});

describe('an entry', () => {
  it('is from nothing where the controller rises from zero within the first beats', () => {
    const strings = partOf('cello', 'C3:4:8', timeline, { dynamics: 'cc1', curves: [ramp(4, 6, 0, 80)] });
    expect(presenceOf(solo('A4:0:40'), strings)[1]?.entry).toBe('from-nothing');
  });

  it('is from nothing by controller 7 as well, which is a gain', () => {
    const fade: ControllerCurve = { ...ramp(4, 6, 8, 100), controller: 7, settingBefore: 100 };
    const strings = partOf('cello', 'C3:4:8', timeline, { curves: [fade] });
    expect(presenceOf(solo('A4:0:40'), strings)[1]?.entry).toBe('from-nothing');
  });

  it('is at once where the controller stands high from the first moment', () => {
    const strings = partOf('cello', 'C3:4:8', timeline, { dynamics: 'cc1', curves: [ramp(4, 6, 90, 110)] });
    expect(presenceOf(solo('A5:20:4'), strings)[1]?.entry).toBe('at-once');
  });

  it('is at once where the first controller follows the note by a few milliseconds', () => {
    const curve: ControllerCurve = { controller: 1, points: [{ quarters: 4.03, setting: 90 }], settingBefore: 0 };
    const strings = partOf('cello', 'C3:4:8', timeline, { dynamics: 'cc1', curves: [curve] });
    expect(presenceOf(solo('A5:20:4'), strings)[1]?.entry).toBe('at-once');
  });

  it('is under a sounding note where the soloist has held one for a beat and the newcomer starts softly', () => {
    const strings = partOf('cello', 'C3:4:8:45', timeline);
    expect(presenceOf(solo('A4:2:6'), strings)[1]?.entry).toBe('under-sounding-note');
  });

  it('is not under a note that begins with it, nor under one that has stopped', () => {
    const strings = partOf('cello', 'C3:4:8:45', timeline);
    expect(presenceOf(solo('A4:4:6'), strings)[1]?.entry).toBe('at-once');
    expect(presenceOf(solo('A4:2:2'), strings)[1]?.entry).toBe('at-once');
  });

  it('is at once under a sounding note where it starts as loud as the solo', () => {
    const trombone = partOf('trombone-tenor', 'C3:4:8:115', timeline);
    expect(presenceOf(solo('A4:2:6'), trombone)[1]?.entry).toBe('at-once');
  });

  it('of a plucked note is at once though it dies away: decay is no fade', () => {
    const harp = partOf('harp', 'C3:4:8:100', timeline);
    expect(presenceOf(solo('A5:20:4'), harp)[1]).toMatchObject({ entry: 'at-once', exit: 'at-once' });
  });
});

describe('an exit', () => {
  it('is to nothing where the controller falls to zero within the last beats', () => {
    const strings = partOf('cello', 'C3:4:8', timeline, { dynamics: 'cc1', curves: [ramp(10, 12, 80, 0)] });
    const curve = strings.tracks[0]?.curves[0];
    expect(curve?.points.at(-1)?.setting).toBe(0);
    const held = { ...strings, tracks: [{ ...strings.tracks[0]!, curves: [{ ...curve!, settingBefore: 80 }] }] };
    expect(presenceOf(solo('A5:40:4'), held)[1]?.exit).toBe('to-nothing');
  });

  it('is under a sounding note where another note began a beat before and lasts a beat longer', () => {
    const horn = partOf('horn-f', 'C4:4:8', timeline);
    expect(presenceOf(solo('A4:8:8'), horn)[1]?.exit).toBe('under-sounding-note');
    expect(presenceOf(solo('A4:8:4'), horn)[1]?.exit).toBe('at-once');
    expect(presenceOf(solo('A4:12:8'), horn)[1]?.exit).toBe('at-once');
  });
});
