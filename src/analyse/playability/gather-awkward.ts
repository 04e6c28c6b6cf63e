/** Many awkward places of one kind as one reading. */
import type { AwkwardKind, AwkwardPlaces } from '../../model/readings.ts';
import type { Timeline } from '../../model/timeline.ts';
import { barAndBeat } from '../../model/timeline.ts';

export interface AwkwardPlace {
  readonly quarters: number;
  readonly midi: readonly number[];
  readonly amount: number;
}

/** The hardest place with the number of all; empty where there is none. `harder` tells which of two amounts is harder. */
export function gatherAwkward(
  kind: AwkwardKind,
  usual: number,
  places: readonly AwkwardPlace[],
  { bars }: Timeline,
  harder: (one: number, other: number) => boolean = (one, other) => one > other,
): readonly AwkwardPlaces[] {
  const [first, ...others] = places;
  if (first === undefined) return [];
  const hardest = others.reduce((most, place) => (harder(place.amount, most.amount) ? place : most), first);
  const { bar, beat } = barAndBeat(bars, hardest.quarters);
  return [{ kind, usual, count: places.length, bar, beat, midi: hardest.midi, amount: hardest.amount }];
}
