/** Parts whose notes fit what the others play a bar or a beat away, and not what they play now: music pasted to a wrong place. */
import type { Part } from '../../model/music/arrangement.ts';
import type { Doubling } from '../../model/readings/readings.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { mean } from '../../model/music/dynamics.ts';
import { numbersIn } from '../../model/words/plain-words.ts';
import { fitMoments } from './displaced-fit.ts';
import { FEWEST_BARS_TOGETHER, fitPartner, isOneLine, momentsAtOnsets, partnersByPart } from './line-partners.ts';
import type { Moment } from './moments.ts';
import type { Slip } from './passages.ts';
import { SLIPS, apart, meet } from './passages.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';
import { notesByBar } from '../placed-notes/placed-notes.ts';

/** In a displaced bar so much of the time is in the harmony of the other place (a note in ten may be foreign), ... */
const FITS_THERE = 0.85;
/** ... at least so much more than here. */
const BETTER_BY = 0.3;
/** Three bars may agree with another place by chance (so they do once in 1500 bars of open scores). */
const FEWEST_BARS = 4;
/** Three bars beside a line that the part doubles everywhere else are no chance. */
const FEWEST_BARS_OF_PARTNER = 3;
/** Whoever has fewer tones (kettledrums, a drone) has no harmony of his own. */
const FEWEST_TONES = 4;
/** Beside a partner a passage that is in the harmony to this extent is in its place: an answer, not a slip. */
const IN_HARMONY = 0.75;
/** So much of its other bars a part goes with its partner. */
const PARTNER_SHARE = 0.8;

export interface DisplacedPassage {
  readonly part: Part;
  /** Bar indices. */
  readonly from: number;
  readonly to: number;
  readonly displacement: Slip;
  readonly fitsHere: number;
  readonly fitsThere: number;
  /** The part whose line it goes along with everywhere else, where that tells it. */
  readonly besideId?: string;
}

interface Candidate {
  readonly passage: DisplacedPassage;
  readonly gain: number;
}

interface BarFit {
  readonly bar: number;
  readonly here: number;
  readonly there: number;
}

/** Sums of the same numbers in another order differ by less. */
const ROUNDING = 1e-9;

/** The greatest sum of so many first numbers or more, by that least count, 0 to `most`. */
function greatestSums(numbers: readonly number[], most: number): readonly number[] {
  const greatest = Array.from({ length: most + 1 }, () => Number.NEGATIVE_INFINITY);
  let sum = 0;
  for (let count = 0; count <= numbers.length; count++) {
    const place = Math.min(count, most);
    greatest[place] = Math.max(greatest[place] ?? sum, sum);
    sum += numbers[count] ?? 0;
  }
  for (let place = most - 1; place >= 0; place--)
    greatest[place] = Math.max(greatest[place] ?? 0, greatest[place + 1] ?? 0);
  return greatest;
}

/**
 * False where no passage can be left out so that a part goes with its partner in the bars before and after it, of which there are enough; `agrees`: how
 * well it does in each bar that both have.
 */
function mayGoAlong(agrees: readonly number[]): boolean {
  const over = agrees.map((share) => share - PARTNER_SHARE + ROUNDING);
  const before = greatestSums(over, FEWEST_BARS_TOGETHER);
  const after = greatestSums(over.reverse(), FEWEST_BARS_TOGETHER);
  return before.some((sum, count) => sum + (after[FEWEST_BARS_TOGETHER - count] ?? 0) >= 0);
}

function sumOf(numbers: readonly number[]): number {
  return numbers.reduce((sum, number) => sum + number, 0);
}

/** Runs of neighbouring bars that fit better at the other place; a bar that fits both may lie between. */
function runsOf(fits: readonly BarFit[]): readonly (readonly BarFit[])[] {
  const runs: BarFit[][] = [];
  for (const item of fits) {
    const open = runs.at(-1);
    const last = open?.at(-1);
    const fitsThere = item.there >= FITS_THERE;
    if (open !== undefined && last !== undefined && item.bar === last.bar + 1 && fitsThere) open.push(item);
    else if (fitsThere && item.there - item.here >= BETTER_BY) runs.push([item]);
  }
  return runs.map((run) => {
    const last = run.findLastIndex(({ here, there }) => there - here >= BETTER_BY);
    return run.slice(0, last + 1);
  });
}

/** How well the notes of a bar fit where they are, and where they would be but for a slip. */
interface Fit {
  readonly here: (bar: number) => number | undefined;
  readonly there: (bar: number, slip: Slip) => number | undefined;
}

/** The same, worked out once for each bar: it is asked for beside every slip and every partner. */
function once<Made>(bars: number, make: (bar: number) => Made): (bar: number) => Made | undefined {
  const made: { readonly value: Made }[] = [];
  return (bar) => (bar < 0 || bar >= bars ? undefined : (made[bar] ??= { value: make(bar) }).value);
}

/**
 * Passages of background parts that fit another place better: at least four bars, all but one of four fitting better there, others that fit both
 * counted in. Bars in which a part is in front are left out (a tune has notes of its own), and what has no pitch.
 */
export function displacedPassages(
  placed: readonly PlacedPart[],
  moments: readonly Moment[],
  front: readonly ReadonlySet<string>[],
  { bars }: Timeline,
  mostHere: number,
  doublings: readonly Doubling[],
): readonly DisplacedPassage[] {
  const lines = placed.map(({ notes }) => isOneLine(notes));
  const shifts = new Map(SLIPS);
  const shiftFor = (slip: Slip, bar: number): number => shifts.get(slip)?.(bars, bar) ?? 0;
  const partnersOf = partnersByPart(doublings);
  const passages = placed.flatMap(({ part, notes }, partIndex): DisplacedPassage[] => {
    if (part.unpitched) return [];
    const byBar = notesByBar(notes, bars);
    const inBar = (bar: number): PlacedPart['notes'] => byBar[bar] ?? [];
    const search = (
      { here: fitsIn, there }: Fit,
      fewestBars: number,
      isPlausible: (run: readonly BarFit[]) => boolean,
    ): Candidate[] =>
      SLIPS.flatMap(([displacement, shiftOf]) => {
        const fits = bars.flatMap((_, bar): BarFit[] => {
          if (inBar(bar).length === 0 || shiftOf(bars, bar) === 0 || (front[bar]?.has(part.id) ?? false)) return [];
          const here = fitsIn(bar);
          const elsewhere = here === undefined ? undefined : there(bar, displacement);
          return here === undefined || elsewhere === undefined ? [] : [{ bar, here, there: elsewhere }];
        });
        return runsOf(fits).flatMap((run): Candidate[] => {
          const better = run.filter(({ here, there }) => there - here >= BETTER_BY).length;
          const fitsHere = mean(run.map(({ here }) => here));
          const fitsThere = mean(run.map(({ there }) => there));
          if (run.length < fewestBars || better < fewestBars - 1 || fitsHere > mostHere || !isPlausible(run)) return [];
          const [first, last] = [run[0]?.bar ?? 0, run.at(-1)?.bar ?? 0];
          const passage = { part, from: first, to: last, displacement, fitsHere, fitsThere };
          return [{ passage, gain: (fitsThere - fitsHere) * run.length }];
        });
      });
    const isLine = lines[partIndex] ?? true;
    const byMoments: Fit = {
      here: once(bars.length, (bar) => fitMoments(inBar(bar), partIndex, moments, 0)),
      there: (bar, slip) => fitMoments(inBar(bar), partIndex, moments, shiftFor(slip, bar)),
    };
    const onsets = once(bars.length, (bar) => momentsAtOnsets(inBar(bar), moments, 0));
    const onsetsBy = new Map(
      SLIPS.map(([slip]) => [
        slip,
        once(bars.length, (bar) => momentsAtOnsets(inBar(bar), moments, shiftFor(slip, bar))),
      ]),
    );
    const hasHarmony = new Set(notes.map(({ midi }) => midi % 12)).size >= FEWEST_TONES;
    const inHarmony = hasHarmony ? search(byMoments, FEWEST_BARS, () => true) : [];
    // Beside a line that it doubles everywhere else.
    const besidePartner = placed.flatMap((other, partner): Candidate[] => {
      if (!hasHarmony) return [];
      if (partnersOf.get(part.id)?.has(other.part.id) !== true || (isLine && !lines[partner])) return [];
      const here = once(bars.length, (bar) => fitPartner(inBar(bar), partner, onsets(bar) ?? []));
      const together = bars.flatMap((_, bar) => {
        const agrees = here(bar);
        return agrees === undefined ? [] : [{ bar, agrees }];
      });
      if (!mayGoAlong(together.map(({ agrees }) => agrees))) return [];
      const sum = sumOf(together.map(({ agrees }) => agrees));
      const goesAlong = (run: readonly BarFit[]): boolean => {
        const inPlace = run.length >= FEWEST_BARS ? [] : run.flatMap(({ bar }) => byMoments.here(bar) ?? []);
        if (inPlace.length > 0 && mean(inPlace) >= IN_HARMONY) return false;
        // Bars of a run follow one another. By what all bars sum up to, most runs are turned down without a look at every bar again.
        const [first, last] = [run[0]?.bar ?? 0, run.at(-1)?.bar ?? 0];
        const near = numbersIn({ from: first - 1, to: last + 1 }).flatMap((bar) => here(bar) ?? []);
        const count = together.length - near.length;
        if (count < FEWEST_BARS_TOGETHER) return false;
        if (sum - sumOf(near) < (PARTNER_SHARE - ROUNDING) * count) return false;
        const elsewhere = together.filter(({ bar }) => bar < first - 1 || bar > last + 1);
        if (mean(elsewhere.map(({ agrees }) => agrees)) < PARTNER_SHARE) return false;
        // Who goes with a third one here is in his place: the partner is the displaced one.
        return !placed.some((third, thirdIndex) => {
          if (thirdIndex === partIndex || thirdIndex === partner || third.part.unpitched) return false;
          const agreeing = run.map(({ bar }) => fitPartner(inBar(bar), thirdIndex, onsets(bar) ?? [], 'outer') ?? 0);
          return mean(agreeing) >= PARTNER_SHARE;
        });
      };
      return search(
        { here, there: (bar, slip) => fitPartner(inBar(bar), partner, onsetsBy.get(slip)?.(bar) ?? []) },
        FEWEST_BARS_OF_PARTNER,
        goesAlong,
      ).map(({ passage, gain }) => ({ passage: { ...passage, besideId: other.part.id }, gain }));
    });
    const found = [...inHarmony, ...besidePartner];
    // One passage may fit several places: the one that gains most is told, of equals the first.
    return apart(found.sort((a, b) => b.gain - a.gain).map(({ passage }) => passage));
  });
  // Of two that go apart one is told: who comes late.
  return passages.filter(
    (passage) =>
      !passages.some(
        (other) =>
          other.besideId === passage.part.id &&
          passage.besideId === other.part.id &&
          meet(other, passage) &&
          other.displacement.endsWith('late') &&
          passage.displacement.endsWith('early'),
      ),
  );
}
