/** The sample bounced as a mock-up, one file a part: its horn 10 dB louder than its MIDI says. */
import { readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { renderStems } from '../../sample-input/make-stems.ts';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import type { Stage } from '../../src/model/music/arrangement.ts';
import { median } from '../../src/model/music/dynamics.ts';
import type { StageReadings } from '../../src/model/readings/readings.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { diskOfFolder } from '../support/memory-disk.ts';
import { currentStageIn } from '../support/read-stages.ts';

const MIDI = '04 Complete.mid';
const LEAD_SECONDS = 2.25;

function readingsOf(stage: Stage): StageReadings {
  return analyseStage(stage, notateStage(stage));
}

describe('stems of the sample', () => {
  let plain: StageReadings;
  let stage: Stage;
  let readings: StageReadings;
  let horn = '';

  beforeAll(async () => {
    const music = [
      [MIDI, new Uint8Array(readFileSync(join(resolve('sample-input/ferry-lights'), MIDI)))],
      ['dossier.yaml', 'foreground: Piano solo\n'],
    ] as const;
    const without = await currentStageIn('/in', diskOfFolder('/in', music));
    plain = readingsOf(without);
    horn = without.parts.find(({ instrument }) => instrument === 'horn-f')?.id ?? '';
    const stems = renderStems(without, { rateHz: 16000, leadSeconds: LEAD_SECONDS, louderDb: { [horn]: 10 } });
    const files = [...stems].map(([name, bytes]) => [`stems/${name}.wav`, bytes] as const);
    stage = await currentStageIn('/in', diskOfFolder('/in', [...music, ...files]));
    readings = readingsOf(stage);
  }, 120_000);

  const horned = (bar: number): boolean =>
    (plain.balance.find((own) => own.bar === bar)?.partsDb ?? {})[horn] !== undefined;

  it('are each named after a part, and lie where they were rendered', () => {
    expect(stage.stems?.map(({ partIds }) => partIds.length)).toEqual(stage.parts.map(() => 1));
    for (const { offsetSeconds } of stage.stems ?? [])
      expect(Math.abs(offsetSeconds - LEAD_SECONDS)).toBeLessThan(0.015);
  });

  it('leave the estimate as it is', () => {
    expect(readings.balance).toEqual(plain.balance);
  });

  it('give the margin that was rendered: within 1.5 dB of the model where the horn rests', () => {
    const gaps = (readings.measured?.bars ?? []).flatMap(({ bar, marginDb }, index) => {
      const estimated = readings.balance[index]?.marginDb;
      return marginDb === undefined || estimated === undefined || horned(bar) ? [] : [Math.abs(marginDb - estimated)];
    });
    expect(gaps.length).toBeGreaterThan(10);
    expect(median(gaps)).toBeLessThan(1.5);
  });

  it('show the horn 10 dB over its notes, and nobody else', () => {
    const { groups = [], groupDifferencesDb = [], differences = [] } = readings.measured ?? {};
    groups.forEach(({ partIds }, group) => {
      // A roll that dies away is not as loud as the estimate of its strokes: nobody but the horn is a dynamic grade off.
      const db = groupDifferencesDb[group] ?? 0;
      if (partIds.includes(horn)) expect(Math.abs(db - 10)).toBeLessThan(2.5);
      else expect(Math.abs(db), partIds.join()).toBeLessThan(6);
    });
    expect(differences.length).toBeGreaterThan(0);
    for (const { group, db } of differences) {
      expect(groups[group]?.partIds).toEqual([horn]);
      expect(Math.abs(db - 10)).toBeLessThan(2.5);
    }
  });
});
