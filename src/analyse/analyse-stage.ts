/** Everything that is measured about one stage. */
import type { Part, Stage } from '../model/music/arrangement.ts';
import type { StageReadings } from '../model/readings/readings.ts';
import type { WrittenNotes } from '../model/music/written.ts';
import { beatsOf } from '../model/music/beats.ts';
import { chordGroundsOf } from './harmony/chord-grounds.ts';
import { coverageOf } from './harmony/coverage.ts';
import { withUnisons } from './lines/colla-parte.ts';
import { doublingsOf } from './lines/doublings.ts';
import { foregroundByBar } from './lines/foreground-lookup.ts';
import { formOf } from './form/form.ts';
import { balanceOf } from './level/balance.ts';
import { levelAssumptionOf } from './level/level-assumptions.ts';
import type { LevelModel } from './level/level-model.ts';
import { gainWithoutVolumeDb, levelModelOf } from './level/level-model.ts';
import { measuredBalanceOf } from './level/measured/measured-balance.ts';
import { melodyOf } from './lines/leader-line.ts';
import { nonChordTonesOf } from './harmony/non-chord-tones.ts';
import { pacingOf } from './pacing/pacing.ts';
import { byVelocity, fairerBars, partsOnAnotherScale } from './level/two-scales.ts';
import { placeParts } from './placed-notes/placed-notes.ts';
import { playabilityOf } from './playability/playability.ts';
import { presenceOf } from './parts/presence.ts';
import { rangesOf } from './parts/ranges.ts';
import { registerOf } from './parts/register.ts';
import { resolutionsOf } from './harmony/resolutions.ts';
import { slicesOf } from './placed-notes/slices.ts';
import { spacingOf } from './spacing/spacing.ts';

/** Readings of one stage; `written` are its notes as notated. Levels are estimates from the sketch, in dB re 1 pW. */
export function analyseStage(stage: Stage, written: WrittenNotes): StageReadings {
  const placed = placeParts(stage, written);
  const silentVolumeDb = gainWithoutVolumeDb(stage);
  const read = (part: Part): LevelModel => levelModelOf(part, silentVolumeDb);
  const models = placed.map(({ part }) => read(part));
  const pulse = beatsOf(stage.timeline);
  const { timeline } = stage;
  const doublings = doublingsOf(placed, timeline);
  const front = foregroundByBar(stage);
  const wide = withUnisons(front, doublings, placed, timeline);
  const { beats, balance: asShaped } = balanceOf(stage, placed, models, pulse, wide);
  const balance = fairerBars(
    asShaped,
    () =>
      balanceOf(
        stage,
        placed,
        placed.map(({ part }) => read(byVelocity(part))),
        pulse,
        wide,
      ).balance,
    front,
    stage.parts,
  );
  const measured = measuredBalanceOf(stage, pulse, { beats, balance: asShaped });
  const apart = partsOnAnotherScale(stage.parts);
  const coverage = coverageOf(written.chords, placed);
  const register = registerOf(placed, timeline);
  const presence = presenceOf(stage, placed, models);
  const melody = melodyOf(stage, placed);
  const slices = slicesOf(placed, timeline);
  const form = formOf(stage, written, melody);
  return {
    stageId: stage.id,
    register,
    presence,
    beats,
    balance,
    ...(balance === asShaped ? {} : { asShaped }),
    ...(measured === undefined ? {} : { measured }),
    levelAssumptions: placed.flatMap(({ part }, index) => {
      const model = models[index];
      return model === undefined ? [] : [levelAssumptionOf(part, model, apart)];
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
    pacing: pacingOf({ stage, placed, presence, balance: asShaped, doublings, register, melody }),
  };
}
