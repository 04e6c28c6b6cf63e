/**
 * What is done to a clean arrangement to spoil it, one thing at a time: by the definition of each flaw in the trade, not by the
 * thresholds of the rule that has to find it. Bars are those in which it lies.
 */
import type { RuleName } from '../../../src/model/readings/rule-names.ts';
import type { Ensemble } from './ensembles.ts';
import { cleanPiece } from './ensembles.ts';
import { FLAWS_OF_HANDS } from './flaws-of-hands.ts';
import { FLAWS_OF_PARTS } from './flaws-of-parts.ts';
import { FLAWS_OF_TEXTURE } from './flaws-of-texture.ts';
import type { Flaw, Planting, Scene } from './planting.ts';

const PLANTINGS: Readonly<Record<RuleName, Planting>> = { ...FLAWS_OF_HANDS, ...FLAWS_OF_PARTS, ...FLAWS_OF_TEXTURE };

/** The flaw planted in an ensemble; undefined where its players cannot have it. */
export function planted(rule: RuleName, ensemble: Ensemble): Flaw | undefined {
  const [s, a, t, b] = ensemble.voices.map(({ name }) => name);
  const piece = cleanPiece(ensemble);
  const scene: Scene = {
    ensemble,
    piece,
    solo: ensemble.solo.name,
    voices: [s ?? '', a ?? '', t ?? '', b ?? ''],
    doubling: ensemble.doubling.name,
  };
  const planting = PLANTINGS[rule](scene);
  return planting === undefined ? undefined : { rule, ...planting };
}
