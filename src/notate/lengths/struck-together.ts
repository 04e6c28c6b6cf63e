/**
 * What is struck together and goes on together is written alike: hands that hold a chord and players of a section read one value where each by
 * himself would be a doubtful case. Who is clearly held longer or shorter than the others keeps his own.
 */
import { groupedBy } from '../../model/grouped.ts';
import type { Way } from './sounded.ts';
import { LONGEST_DOTTED } from './value-candidates.ts';

/** A note, or notes of a staff struck together, with the chances of the ways in which it may be written. */
export interface Weighed {
  readonly onset: number;
  /** The next onset on its staff, in divisions. */
  readonly next: number | undefined;
  readonly struck: boolean;
  readonly ways: readonly Way[];
  readonly chances: ArrayLike<number>;
}

/** Who is so many times likelier to have another value than the others keeps it (ours, set on the folders of the tuning half). */
const CLEARLY = Math.log(2.5);
/** What nothing follows is a last chord: all let go together unless one is much likelier to have another value. */
const CLEARLY_LAST = Math.log(20);
/** Who holds as long as the others, within this share, has their value: a section breathes together (of our own). */
const AS_LONG = 0.08;
/** Who lets go of a long chord while the others still hold a quarter of it does so on purpose, and needs to be only so much likelier (of our own). */
const LEFT_EARLY = 0.25;
const CLEARLY_LEFT = Math.log(1.5);
const LEAST_CHANCE = 1e-12;

/** What it costs to write each end that is open to a note instead of its likeliest one. */
function lossesOf({ ways, chances }: Weighed): ReadonlyMap<number, number> {
  let best = 0;
  for (let at = 0; at < ways.length; at++) best = Math.max(best, chances[at] as number);
  return new Map(
    ways.map(({ end }, at) => [end, Math.log(best / Math.max(LEAST_CHANCE, chances[at] as number))] as const),
  );
}

function leastOf(losses: ReadonlyMap<number, number>): number {
  let [least, found] = [Infinity, 0];
  for (const [end, loss] of losses) if (loss < least) [least, found] = [loss, end];
  return found;
}

function likeliestEnd({ ways, chances }: Weighed): number {
  let best = 0;
  for (let at = 1; at < ways.length; at++) if ((chances[at] as number) > (chances[best] as number)) best = at;
  return ways[best]?.end ?? 0;
}

/** How long it was held, in milliseconds; 0 where its playing is not known. */
function heldMs({ ways }: Weighed): number {
  return ways[0]?.measures[0]?.heldMs ?? 0;
}

/** How long each note of a group was held beside the middle one of them; undefined where the playing is not known. */
function heldBeside(group: readonly Weighed[]): (number | undefined)[] {
  const held = group.map(heldMs);
  const middle = [...held].sort((a, b) => a - b)[held.length >> 1] ?? 0;
  return held.map((own) => (middle > 0 ? own / middle : undefined));
}

/** Written ends, one for each. */
export function agreedEnds(notes: readonly Weighed[]): number[] {
  const ends = notes.map(likeliestEnd);
  const places = ends.map((_, at) => at);
  const isOpen = (group: readonly number[]): boolean => group.some((at) => ends[at] !== ends[group[0] as number]);
  // Few onsets leave anything to agree on: who goes on where is asked of those alone.
  const struckAtOnce = [...groupedBy(places, (at) => (notes[at] as Weighed).onset).values()].filter(isOpen);
  const together = struckAtOnce.flatMap((chord) => [
    ...groupedBy(chord, (at) => `${String(notes[at]?.next)} ${String(notes[at]?.struck)}`).values(),
  ]);
  for (const group of together) {
    if (!isOpen(group)) continue;
    const isLast = notes[group[0] as number]?.next === undefined;
    const beside = heldBeside(group.map((at) => notes[at] as Weighed));
    const alike = beside.map((share) => share !== undefined && Math.abs(share - 1) <= AS_LONG);
    const clearlyOf = beside.map((share = 1, place) => {
      const at = group[place] as number;
      if (alike[place] === true) return CLEARLY_LAST;
      // A short value says nothing: a stroke that all have may be cut short.
      const isLong = (ends[at] as number) - (notes[at] as Weighed).onset > LONGEST_DOTTED;
      if (isLong && share < 1 - LEFT_EARLY) return CLEARLY_LEFT;
      return isLast ? CLEARLY_LAST : CLEARLY;
    });
    const own = group.map((at) => lossesOf(notes[at] as Weighed));
    const open = new Set(group.map((at) => ends[at] as number));
    const shared = leastOf(
      new Map(
        [...open].map((end) => [
          end,
          own.reduce((sum, one, place) => {
            const clearly = clearlyOf[place] as number;
            return sum + Math.min(clearly, one.get(end) ?? clearly);
          }, 0),
        ]),
      ),
    );
    for (const [place, at] of group.entries()) {
      const limit = alike[place] === true ? Infinity : clearlyOf[place];
      if ((own[place]?.get(shared) ?? Infinity) < (limit ?? 0)) ends[at] = shared;
    }
  }
  return ends;
}
