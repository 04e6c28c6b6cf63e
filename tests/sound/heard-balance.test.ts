/** What one hears is what the estimate says: the sketch rendered, its loudness measured, beside the margins of the data. */
import { describe, expect, it } from 'vitest';
import { sketchOf } from '../../src/analyse/played-sketch/sketch-of.ts';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import { median } from '../../src/model/music/dynamics.ts';
import type { Sketch } from '../../src/sound/sketch.ts';
import { packSketch, unpackSketch } from '../../src/sound/sketch-text.ts';
import { renderSketch, type Choice } from '../../src/sound/voice.ts';
import { arrangementIn } from '../support/read-stages.ts';
import { sampleFolders } from '../support/sample.ts';
import { kWeighted, meanSquare, METER_RATE } from './loudness.ts';
import { notated } from '../support/notated.ts';

/** Rendering takes long: of every stage one bar in so many, in each stage others. */
const ONE_IN = 3;
/** Before a bar, so that the meter's filters have settled. */
const LEAD_SECONDS = 0.2;

/** Mean square of a bar, weighted. */
function heard(sketch: Sketch, choice: Choice, start: number, end: number): number {
  const from = Math.max(0, start - LEAD_SECONDS);
  const span = { from, length: Math.ceil((end - from) * METER_RATE), rate: METER_RATE };
  return meanSquare(kWeighted(renderSketch(sketch, choice, span, sketch.loudestDb)), start - from, end - from);
}

describe.each(sampleFolders())('the sketch of %s', (folder) => {
  // As it is played in the page: out of the text, foreground and background each for itself, loudness by ITU-R BS.1770 over a bar.
  it('has the foreground as far over the background as the estimate has it: within 1.5 dB in the median bar', async () => {
    let compared = 0;
    for (const [place, stage] of (await arrangementIn(folder)).stages.entries()) {
      const written = notated(stage);
      const readings = analyseStage(stage, written);
      const sketch = unpackSketch(packSketch(sketchOf(stage, written, readings)));
      const differences = readings.balance.flatMap(({ marginDb }, index) => {
        const bar = sketch.bars[index];
        if (marginDb === undefined || bar === undefined || index % ONE_IN !== place % ONE_IN) return [];
        const [ahead, behind] = (['front', 'back'] as const).map((kind) => heard(sketch, { kind }, bar.start, bar.end));
        return [10 * Math.log10(ahead! / behind!) - marginDb];
      });
      if (differences.length === 0) continue;
      compared += 1;
      expect(median(differences.map(Math.abs)), stage.title).toBeLessThan(1.5);
      expect(Math.abs(median(differences)!), stage.title).toBeLessThan(1.5);
    }
    expect(compared).toBeGreaterThanOrEqual(3);
  });
});
