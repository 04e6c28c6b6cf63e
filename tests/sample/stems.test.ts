/** The sample bounced as a mock-up, one file a part: Violin II 10 dB louder than its MIDI says. */
import { readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { LOUDER, renderStems } from '../../sample-input/make-stems.ts';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import { adviseStage } from '../../src/advise/advise-stage.ts';
import { foregroundByBar } from '../../src/analyse/lines/foreground-lookup.ts';
import { isLevelLeftOut } from '../../src/analyse/level/left-out.ts';
import type { Stage } from '../../src/model/music/arrangement.ts';
import { median, sumDb } from '../../src/model/music/dynamics.ts';
import type { Finding, StageReadings } from '../../src/model/readings/readings.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { bytesAtHand } from '../../src/read/audio/byte-source.ts';
import { openWav } from '../../src/read/audio/wav.ts';
import { growing } from '../../src/sound/measure/growing.ts';
import { diskOfFolder } from '../support/memory-disk.ts';
import { otherIntegratedLufs } from '../support/other-meter.ts';
import { currentStageIn } from '../support/read-stages.ts';

const MIDI = '04 Complete.mid';
const LEAD_SECONDS = 2.25;
const RATE_HZ = 16000;

function judged(stage: Stage): { readonly readings: StageReadings; readonly findings: readonly Finding[] } {
  const written = notateStage(stage);
  const readings = analyseStage(stage, written);
  return { readings, findings: adviseStage({ stage, written, readings, limits: {}, accepted: [] }) };
}

async function samplesOf(bytes: Uint8Array): Promise<Float32Array> {
  const samples = growing();
  for await (const [left = new Float32Array()] of (await openWav('', bytesAtHand(bytes))).blocks())
    left.forEach(samples.push);
  return samples.taken();
}

describe('stems of the sample', () => {
  let plain: ReturnType<typeof judged>;
  let stage: Stage;
  let heard: ReturnType<typeof judged>;
  let loud = '';
  let stems: ReadonlyMap<string, Uint8Array>;

  beforeAll(async () => {
    const music = [
      [MIDI, new Uint8Array(readFileSync(join(resolve('sample-input/ferry-lights'), MIDI)))],
      ['dossier.yaml', 'foreground: Piano solo\n'],
    ] as const;
    const without = await currentStageIn('/in', diskOfFolder('/in', music));
    plain = judged(without);
    loud = without.parts.find(({ name }) => name === LOUDER.name)?.id ?? '';
    stems = renderStems(without, { rateHz: RATE_HZ, leadSeconds: LEAD_SECONDS, louderDb: { [loud]: LOUDER.db } });
    const files = [...stems].map(([name, bytes]) => [`stems/${name}.wav`, bytes] as const);
    stage = await currentStageIn('/in', diskOfFolder('/in', [...music, ...files]));
    heard = judged(stage);
  });

  it('are each named after a part, and lie where they were rendered', () => {
    expect(stage.stems?.map(({ partIds }) => partIds.length)).toEqual(stage.parts.map(() => 1));
    for (const { offsetSeconds } of stage.stems ?? [])
      expect(Math.abs(offsetSeconds - LEAD_SECONDS)).toBeLessThan(0.015);
  });

  it('are as loud as another meter has them, to a tenth of a LU (every fourth of them)', async () => {
    for (const { file, integratedDb } of (stage.stems ?? []).filter((_, index) => index % 4 === 0)) {
      const bytes = stems.get(file.replace(/^stems\/|\.wav$/g, ''));
      const other = otherIntegratedLufs(await samplesOf(bytes ?? new Uint8Array()), RATE_HZ);
      expect(Math.abs((integratedDb ?? 0) - other), file).toBeLessThan(0.1);
    }
  });

  it('leave the estimate as it is', () => {
    expect(heard.readings.balance).toEqual(plain.readings.balance);
  });

  it('give the margin that was rendered, within 1.5 dB of the model with that part 10 dB louder', () => {
    const { readings } = plain;
    const front = foregroundByBar(stage);
    const pitched = new Set(stage.parts.filter((part) => !isLevelLeftOut(part)).map(({ id }) => id));
    const gaps = readings.balance.flatMap(({ foregroundDb, partsDb }, index) => {
      const marginDb = heard.readings.measured?.bars[index]?.marginDb;
      if (marginDb === undefined || foregroundDb === undefined) return [];
      const behind = Object.entries(partsDb).filter(([id]) => pitched.has(id) && front[index]?.has(id) !== true);
      const backgroundDb = sumDb(behind.map(([id, db]) => (id === loud ? db + LOUDER.db : db)));
      return [Math.abs(marginDb - (foregroundDb - backgroundDb))];
    });
    expect(gaps.length).toBeGreaterThan(40);
    expect(median(gaps)).toBeLessThan(1.5);
  });

  it('show that part 10 dB over its notes, and nobody else', () => {
    const { groups = [], groupDifferencesDb = [], differences = [] } = heard.readings.measured ?? {};
    groups.forEach(({ partIds }, group) => {
      // A roll that dies away is not as loud as the estimate of its strokes: nobody but the one is a dynamic grade off.
      const db = groupDifferencesDb[group] ?? 0;
      if (partIds.includes(loud)) expect(Math.abs(db - LOUDER.db)).toBeLessThan(2.5);
      else expect(Math.abs(db), partIds.join()).toBeLessThan(6);
    });
    expect(differences.length).toBeGreaterThan(0);
    for (const { group, db } of differences) {
      expect(groups[group]?.partIds).toEqual([loud]);
      expect(Math.abs(db - LOUDER.db)).toBeLessThan(2.5);
    }
  });

  it('have it found over the piano where by its notes it is behind, with its file', () => {
    const loudIn = ({ findings }: ReturnType<typeof judged>) =>
      findings.filter(({ rule, partIds }) => rule === 'background-as-loud' && partIds.includes(loud));
    // In 21-24 all strings are over the piano, by their notes too. Its forte in 9-12 (a planted flaw) is 5 dB under the piano by its notes.
    expect(loudIn(plain).map(({ level, from, to }) => [level, from, to])).toEqual([['look', 21, 24]]);
    expect(loudIn(heard).map(({ level, from, to }) => [level, from, to])).toEqual([
      ['look', 21, 24],
      ['look', 9, 12],
    ]);
    for (const { message } of loudIn(heard)) expect(message).toContain(`“stems/${LOUDER.name}.wav”`);
  });
});
