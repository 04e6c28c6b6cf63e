/** How the arrangement spends its forces: entries, exits, texture, silences, peak, rests and sections. */
import type { PacingReading } from '../../model/readings/pacing.ts';
import type { MelodyNote, RegisterReading } from '../../model/readings/readings.ts';
import { entriesOf, exitsOf } from './events.ts';
import { peakOf } from './peak.ts';
import { phrasesOf } from './phrases.ts';
import { restsOf } from './rests.ts';
import { sectionPacing } from './sections.ts';
import { silencesOf } from './silences.ts';
import { textureBars, textureSteps, type TextureInput } from './texture.ts';

export interface PacingInput extends TextureInput {
  readonly register: readonly RegisterReading[];
  readonly melody: readonly MelodyNote[];
}

/** The pacing of a stage, from readings made before. Levels are estimates, dB re 1 pW. */
export function pacingOf(input: PacingInput): PacingReading {
  const { stage, placed, presence, register, melody } = input;
  const phrases = phrasesOf(stage, melody);
  const entries = entriesOf(stage, presence, phrases);
  const bars = textureBars(input);
  const peak = peakOf(stage, bars, entries);
  return {
    phrases,
    entries,
    exits: exitsOf(stage, presence),
    bars,
    steps: textureSteps(stage, bars),
    silences: silencesOf(placed, stage.timeline),
    rests: restsOf(stage, presence),
    sections: sectionPacing(stage, bars, register),
    ...(peak === undefined ? {} : { peak }),
  };
}
