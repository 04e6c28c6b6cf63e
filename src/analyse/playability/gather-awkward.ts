/** Places that are awkward for the hands, the tongue or the feet; many of one kind as one reading. */
import type { AwkwardKind, AwkwardPlaces } from '../../model/readings/readings.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { barAndBeat } from '../../model/music/timeline.ts';
import type { PlacedNote } from '../placed-notes/placed-notes.ts';

/** One such place: its notes, the first of them where it begins; `amount` and `usual` in the unit of its kind. */
export interface AwkwardPlace {
  readonly notes: readonly PlacedNote[];
  readonly amount: number;
  readonly usual: number;
}

/** How far beyond what is usual: 0 at the border. Time for a change of a pedal or a drum is short where it is small. */
function hardness(kind: AwkwardKind, { amount, usual }: AwkwardPlace): number {
  return kind === 'harp-pedals' || kind === 'timpani-tuning' ? usual - amount : amount - usual;
}

/** The hardest of some places, the first of equals; undefined where there is none. */
export function hardestOf<Place extends AwkwardPlace>(kind: AwkwardKind, places: readonly Place[]): Place | undefined {
  return places.reduce<Place | undefined>(
    (most, place) => (most === undefined || hardness(kind, place) > hardness(kind, most) ? place : most),
    undefined,
  );
}

/** The hardest place with the number of all; empty where there is none. */
export function gatherAwkward(
  kind: AwkwardKind,
  places: readonly AwkwardPlace[],
  { bars }: Timeline,
): readonly AwkwardPlaces[] {
  const hardest = hardestOf(kind, places);
  const [first] = hardest?.notes ?? [];
  if (hardest === undefined || first === undefined) return [];
  const { bar, beat } = barAndBeat(bars, first.startQuarters);
  const { amount, usual, notes } = hardest;
  const midi = [...new Set(notes.map((note) => note.midi))];
  return [{ kind, usual, count: places.length, bar, beat, midi, amount }];
}
