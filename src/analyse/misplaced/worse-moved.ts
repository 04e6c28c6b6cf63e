/** Which of the passages that stand elsewhere than at the stage before are worse placed now: in the harmony, or beside those with whom they went. */
import type { Part } from '../../model/music/arrangement.ts';
import { mean } from '../../model/music/dynamics.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import type { Bar } from '../../model/music/timeline.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';
import { fitSteps, grindingShare } from './displaced-fit.ts';
import type { Moment } from './moments.ts';
import type { MovedSince } from './moved-since.ts';
import { findsOnset } from './moved-since.ts';

export interface WorsePassage {
  readonly part: Part;
  readonly words: MovedSince['words'];
  /** Bar indices of where it stands, with those that it left empty. */
  readonly from: number;
  readonly to: number;
  readonly by: 'harmony' | 'rhythm';
  /** Share of its time that is in the harmony, or of its notes that begin with those parts, where it is and where it was. */
  readonly fitsHere: number;
  readonly fitsThere: number;
}

/** It was at home, and so much more of it is beside a tone of the others now: what was moved on purpose may leave theirs. The figures are ours. */
const HOME = 0.75;
const GRINDS_MORE = 0.12;
/** It went with so many others at least, which are where they were, and goes with them no more. */
const FEWEST_COMPANIONS = 2;
const WENT_TOGETHER = 0.9;
const GOES_TOGETHER = 0.6;
/** So many notes and bars make a rhythm. */
const FEWEST_NOTES = 5;
const FEWEST_BARS = 3;
const ONSETS_PER_QUARTER = 12;
/** A written place is within this of the one played. */
const NEAR = 0.3;

const tick = (quarters: number): number => Math.round(quarters * ONSETS_PER_QUARTER);

/** Mean share of the notes that begin with those of the parts that have the whole rhythm where the passage stood; undefined where too few have. */
function togetherWith(
  own: PlacedPart,
  onsets: readonly number[],
  byQuarters: number,
  placed: readonly PlacedPart[],
): readonly [here: number, there: number] | undefined {
  const stood = onsets.map((onset) => onset - tick(byQuarters));
  const places = new Set(stood);
  const [first = 0, last = 0] = [stood[0], stood.at(-1)];
  const companions = placed.flatMap((other) => {
    if (other === own || other.part.unpitched) return [];
    const theirs = new Set(other.notes.map(({ startQuarters }) => tick(startQuarters)));
    const within = [...theirs].filter((onset) => onset >= first && onset <= last);
    const met = within.filter((onset) => places.has(onset)).length;
    const meets = stood.filter((onset) => theirs.has(onset)).length;
    const isCompanion = meets >= WENT_TOGETHER * stood.length && met >= WENT_TOGETHER * within.length;
    return isCompanion ? [[onsets.filter((onset) => theirs.has(onset)).length, meets] as const] : [];
  });
  if (companions.length < FEWEST_COMPANIONS) return undefined;
  const shareAt = (place: 0 | 1): number => mean(companions.map((counts) => counts[place] / onsets.length));
  return [shareAt(0), shareAt(1)];
}

/** Those that fitted better where they stood. */
export function worseMoved(
  moved: readonly MovedSince[],
  placed: readonly PlacedPart[],
  moments: readonly Moment[],
  bars: readonly Bar[],
): readonly WorsePassage[] {
  return moved.flatMap(({ partId, words, byQuarters, onsets: played }): WorsePassage[] => {
    const partIndex = placed.findIndex(({ part }) => part.id === partId);
    const own = placed[partIndex];
    const isOfIt = findsOnset(played, NEAR);
    const notes = (own?.notes ?? []).filter(({ midi, startQuarters }) => isOfIt(midi, startQuarters));
    const [first] = notes;
    const last = notes.at(-1);
    if (own === undefined || first === undefined || last === undefined) return [];
    const barOf = (quarters: number): number => barIndexAt(bars, quarters);
    const isEmpty = (bar: number): boolean => own.notes.every(({ startQuarters }) => barOf(startQuarters) !== bar);
    let [from, to] = [barOf(first.startQuarters), barOf(last.startQuarters)];
    while (from > barOf(first.startQuarters - byQuarters) && isEmpty(from - 1)) from--;
    while (to < barOf(last.startQuarters - byQuarters) && isEmpty(to + 1)) to++;
    const told = (by: WorsePassage['by'], fitsHere: number, fitsThere: number): WorsePassage[] => [
      { part: own.part, words, from, to, by, fitsHere, fitsThere },
    ];
    const fit = (shift: number): number | undefined => fitSteps(notes, partIndex, moments, shift, [0])?.[0];
    const [here, there] = [fit(0), fit(-byQuarters)];
    if (here === undefined || there === undefined) return [];
    const grinding = (shift: number): number => grindingShare(notes, partIndex, moments, shift) ?? 0;
    if (there >= HOME && there > here && grinding(0) - grinding(-byQuarters) >= GRINDS_MORE)
      return told('harmony', here, there);
    if (there < here || notes.length < FEWEST_NOTES || to - from + 1 < FEWEST_BARS) return [];
    const onsets = [...new Set(notes.map(({ startQuarters }) => tick(startQuarters)))];
    const shares = togetherWith(own, onsets, byQuarters, placed);
    return shares !== undefined && shares[0] <= GOES_TOGETHER ? told('rhythm', ...shares) : [];
  });
}
