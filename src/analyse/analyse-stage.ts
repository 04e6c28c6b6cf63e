/** Everything that is measured about one stage. */
import type { Stage } from '../model/arrangement.ts';
import type { StageReadings } from '../model/readings.ts';
import type { WrittenStage } from '../model/written.ts';
import { beatsOf } from './beats.ts';
import { coverageOf } from './coverage.ts';
import { doublingsOf } from './doublings.ts';
import { balanceOf } from './level/balance.ts';
import { levelAssumptionOf } from './level/level-assumptions.ts';
import type { LevelModel } from './level/level-model.ts';
import { gainWithoutVolumeDb, levelModelOf } from './level/level-model.ts';
import { melodyOf } from './melody.ts';
import { placeParts } from './placed-notes.ts';
import { presenceOf } from './presence.ts';
import { rangesOf } from './ranges.ts';
import { registerOf } from './register.ts';

/** Readings of one stage; `written` are its notes as notated. Levels are estimates from the sketch, in dB re 1 pW. */
export function analyseStage(stage: Stage, written: WrittenStage): StageReadings {
  const placed = placeParts(stage, written);
  const silentVolumeDb = gainWithoutVolumeDb(stage);
  const models = placed.map(({ part }): LevelModel => levelModelOf(part, silentVolumeDb));
  const { beats, balance } = balanceOf(stage, placed, models, beatsOf(stage.timeline));
  return {
    stageId: stage.id,
    register: registerOf(placed, stage.timeline),
    presence: presenceOf(stage, placed, models),
    beats,
    balance,
    levelAssumptions: placed.flatMap(({ part }, index) => {
      const model = models[index];
      return model === undefined ? [] : [levelAssumptionOf(part, model)];
    }),
    ranges: rangesOf(placed, stage.timeline),
    doublings: doublingsOf(placed, stage.timeline),
    coverage: coverageOf(written.chords, placed),
    melody: melodyOf(stage, placed),
  };
}
