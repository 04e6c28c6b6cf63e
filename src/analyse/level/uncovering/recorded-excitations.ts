/** What recordings of the background leave in the bands of the foreground. */
import type { Stage } from '../../../model/music/arrangement.ts';
import type { Beat } from '../../../model/music/beats.ts';
import type { BeatBalance } from '../../../model/readings/readings.ts';
import { BANDS_PER_ERB } from '../masking/covered-share.ts';
import { throughFilters } from '../measured/masked-spectrum.ts';
import { bandsOf, groupsOf, sidesByBeat, stemsOn } from '../measured/recorded-beats.ts';
import type { BeatExcitation } from './clearance.ts';
import { addedUp } from './clearance.ts';

/** The beats in which everybody was recorded and both sides are heard; a recording of several parts goes by the first of them. */
export function recordedExcitations(
  stage: Stage,
  beats: readonly Beat[],
  estimated: readonly BeatBalance[],
): readonly BeatExcitation[] {
  const groups = groupsOf(stage.stems ?? []);
  const places = groups.map(({ partIds }) => stage.parts.findIndex(({ id }) => id === partIds[0]));
  return sidesByBeat(stage, beats, estimated, groups).flatMap((own): BeatExcitation[] => {
    const { beat, barIndex, sides, isWhole } = own;
    if (!isWhole) return [];
    const front = bandsOf(stemsOn('front', groups, own), beat);
    const byPart = new Map<number, Float64Array>();
    groups.forEach(({ stems }, group) => {
      if (sides[group] !== 'back') return;
      const bands = bandsOf(stems, beat);
      if (bands.length > 0) byPart.set(places[group] ?? -1, throughFilters(bands, front.length));
    });
    if (front.length === 0 || byPart.size === 0) return [];
    return [
      {
        barIndex,
        front: { bands: Int32Array.from(front, (_, band) => band * BANDS_PER_ERB), powers: front },
        byPart,
        whole: addedUp(byPart.values(), front.length),
        background: [],
      },
    ];
  });
}
