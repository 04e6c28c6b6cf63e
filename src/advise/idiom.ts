/** What belongs to the kind of music at hand, so that no rule takes it for a fault. Who plays what how is common practice, no source. */
import type { Stage } from '../model/music/arrangement.ts';
import { isAmplified, isElectric, type EnsembleKind } from '../model/music/ensemble.ts';
import type { Style } from '../model/music/style.ts';

export interface Idiom {
  readonly kind: EnsembleKind;
  /**
   * True where parts are led as a harmony teacher asks: whole chords, no parallels, tones that resolve. Jazz has rootless voicings, ninths and
   * walking basses; bands, folk and film music have parallel motion, drones, added notes and open chords.
   */
  readonly strictHarmony: boolean;
  /** True where tune and bass frame a texture of however many parts as voices of their own: in scores whose harmony is neither that of songs nor jazz. */
  readonly framed: boolean;
  /** True where levels are set at a desk: an estimate from acoustic instruments says nothing of who is louder than whom. */
  readonly amplified: boolean;
}

const FREE: ReadonlySet<EnsembleKind> = new Set(['combo', 'big-band', 'band', 'electronic', 'percussion']);
/** The idiom of a stage, from its kind of ensemble, its instruments and how its harmony was read. */
export function idiomOf({ ensemble, parts }: Pick<Stage, 'ensemble' | 'parts'>, style: Style): Idiom {
  const { kind } = ensemble;
  const strictHarmony = !FREE.has(kind) && !parts.some(isElectric);
  return {
    kind,
    strictHarmony,
    // An electric instrument beside an orchestra that cadences changes nothing in its frame.
    framed: style === 'classical' ? !FREE.has(kind) : style === 'score' && strictHarmony,
    amplified: isAmplified(kind, parts),
  };
}
