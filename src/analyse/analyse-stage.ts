/** Everything that is measured about one stage. */
import type { Stage } from '../model/arrangement.ts';
import type { StageReadings } from '../model/readings.ts';
import type { WrittenStage } from '../model/written.ts';
import { beatsOf } from './beats.ts';
import { chordGroundsOf } from './chord-grounds.ts';
import { coverageOf } from './coverage.ts';
import { doublingsOf } from './doublings.ts';
import { foregroundByBar } from './foreground-bars.ts';
import { formOf } from './form.ts';
import { balanceOf } from './level/balance.ts';
import { levelAssumptionOf } from './level/level-assumptions.ts';
import type { LevelModel } from './level/level-model.ts';
import { gainWithoutVolumeDb, levelModelOf } from './level/level-model.ts';
import { melodyOf } from './melody.ts';
import { nonChordTonesOf } from './non-chord-tones.ts';
import { pacingOf } from './pacing/pacing.ts';
import { placeParts } from './placed-notes.ts';
import { playabilityOf } from './playability/playability.ts';
import { presenceOf } from './presence.ts';
import { rangesOf } from './ranges.ts';
import { registerOf } from './register.ts';
import { resolutionsOf } from './resolutions.ts';
import { slicesOf } from './slices.ts';
import { spacingOf } from './spacing/spacing.ts';

/** Readings of one stage; `written` are its notes as notated. Levels are estimates from the sketch, in dB re 1 pW. */
export function analyseStage(stage: Stage, written: WrittenStage): StageReadings {
  const placed = placeParts(stage, written);
  const silentVolumeDb = gainWithoutVolumeDb(stage);
  const models = placed.map(({ part }): LevelModel => levelModelOf(part, silentVolumeDb));
  const { beats, balance } = balanceOf(stage, placed, models, beatsOf(stage.timeline));
  const { timeline } = stage;
  const coverage = coverageOf(written.chords, placed);
  const register = registerOf(placed, timeline);
  const presence = presenceOf(stage, placed, models);
  const doublings = doublingsOf(placed, timeline);
  const melody = melodyOf(stage, placed);
  const slices = slicesOf(placed, timeline);
  const front = foregroundByBar(stage);
  const form = formOf(stage, written, melody);
  return {
    stageId: stage.id,
    register,
    presence,
    beats,
    balance,
    levelAssumptions: placed.flatMap(({ part }, index) => {
      const model = models[index];
      return model === undefined ? [] : [levelAssumptionOf(part, model)];
    }),
    ranges: rangesOf(placed, timeline),
    doublings,
    coverage,
    grounds: chordGroundsOf(written.chords, coverage, placed, slices, front, timeline),
    nonChordTones: nonChordTonesOf(written.chords, placed, slices, timeline),
    resolutions: resolutionsOf(written.chords, placed, timeline),
    playability: playabilityOf(placed, models, timeline),
    melody,
    spacing: spacingOf(stage.parts, timeline.bars, slices, register, front, melody),
    ...(form === undefined ? {} : { form }),
    pacing: pacingOf({ stage, placed, presence, balance, doublings, register, melody }),
  };
}
