/**
 * Entries that nobody hears: a part that comes in at next to nothing for a few bars and goes on several grades louder from one bar to the next, while
 * all others stay as they are. A rise by degrees is a device, a step is a controller left down or a take of another day. The figures are ours.
 */
import { median } from '../../model/music/dynamics.ts';
import { GRADE } from './marked-dynamics.ts';

/** No louder than the softest grade, and so many grades under what follows at once. */
const SOFTEST = GRADE;
const FEWEST_GRADES = 2.5;
/** The others change by no more than this meanwhile, and are marked so much louder. */
const MOST_GRADES_OF_OTHERS = 1;
const MOST_BARS = 4;

type Marks = readonly ReadonlyMap<string, number>[];

export interface SoftEntry {
  /** Bar indices of the soft bars. */
  readonly from: number;
  readonly to: number;
  readonly grades: number;
}

/** The middle mark of all parts but one in a bar. */
function othersAt(marks: Marks, bar: number, partId: string): number {
  return median([...(marks[bar] ?? [])].flatMap(([id, mark]) => (id === partId ? [] : [mark]))) ?? 0;
}

/** The soft bars at the beginning of a span of bars (by index, both included) in which a part plays; undefined where it is marked like what follows. */
export function softEntry(marks: Marks, partId: string, from: number, to: number): SoftEntry | undefined {
  const markAt = (bar: number): number => marks[bar]?.get(partId) ?? 1;
  for (let bar = from; bar < Math.min(to, from + MOST_BARS) && markAt(bar) <= SOFTEST; bar++) {
    const grades = (markAt(bar + 1) - markAt(bar)) / GRADE;
    if (grades < FEWEST_GRADES) continue;
    const others = (at: number): number => othersAt(marks, at, partId) / GRADE;
    const areSteady = Math.abs(others(bar + 1) - others(bar)) <= MOST_GRADES_OF_OTHERS;
    return areSteady && others(bar) - markAt(bar) / GRADE >= MOST_GRADES_OF_OTHERS
      ? { from, to: bar, grades }
      : undefined;
  }
  return undefined;
}
