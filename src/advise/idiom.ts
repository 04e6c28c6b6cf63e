/** What belongs to the kind of music at hand, so that no rule takes it for a fault. Who plays what how is common practice, no source. */
import type { Stage } from '../model/music/arrangement.ts';
import { isAmplified, isElectric, type EnsembleKind } from '../model/music/ensemble.ts';

export interface Idiom {
  readonly kind: EnsembleKind;
  /**
   * True where parts are led as a harmony teacher asks: whole chords, no parallels, tones that resolve. Jazz has rootless voicings, ninths and
   * walking basses; bands, folk and film music have parallel motion, drones, added notes and open chords.
   */
  readonly strictHarmony: boolean;
  /** True where levels are set at a desk: an estimate from acoustic instruments says nothing of who is louder than whom. */
  readonly amplified: boolean;
}

const FREE: ReadonlySet<EnsembleKind> = new Set(['combo', 'big-band', 'band', 'electronic', 'percussion']);
/** The idiom of a stage, from its kind of ensemble and its instruments. */
export function idiomOf({ ensemble, parts }: Pick<Stage, 'ensemble' | 'parts'>): Idiom {
  const { kind } = ensemble;
  return {
    kind,
    strictHarmony: !FREE.has(kind) && !parts.some(isElectric),
    amplified: isAmplified(kind, parts),
  };
}
