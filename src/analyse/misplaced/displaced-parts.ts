/** Parts whose notes fit what the others play a bar or a beat away, and not what they play now: music pasted to a wrong place. */
import type { Part } from '../../model/music/arrangement.ts';
import type { Doubling } from '../../model/readings/readings.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { mean } from '../../model/music/dynamics.ts';
import { fitMoments } from './displaced-fit.ts';
import { FEWEST_BARS_TOGETHER, fitPartner, isOneLine, partnersByPart } from './line-partners.ts';
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

type Fit = (inBar: PlacedPart['notes'], shift: number) => number | undefined;

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
  const partnersOf = partnersByPart(doublings);
  const passages = placed.flatMap(({ part, notes }, partIndex): DisplacedPassage[] => {
    if (part.unpitched) return [];
    const byBar = notesByBar(notes, bars);
    const search = (fitOf: Fit, fewestBars: number, isPlausible: (run: readonly BarFit[]) => boolean): Candidate[] =>
      SLIPS.flatMap(([displacement, shiftOf]) => {
        const fits = byBar.flatMap((inBar, bar): BarFit[] => {
          const shift = shiftOf(bars, bar);
          if (inBar.length === 0 || shift === 0 || (front[bar]?.has(part.id) ?? false)) return [];
          const here = fitOf(inBar, 0);
          const there = fitOf(inBar, shift);
          return here === undefined || there === undefined ? [] : [{ bar, here, there }];
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
    const byMoments: Fit = (inBar, shift) => fitMoments(inBar, partIndex, moments, shift);
    const hasHarmony = new Set(notes.map(({ midi }) => midi % 12)).size >= FEWEST_TONES;
    const inHarmony = hasHarmony ? search(byMoments, FEWEST_BARS, () => true) : [];
    // Beside a line that it doubles everywhere else.
    const besidePartner = placed.flatMap((other, partner): Candidate[] => {
      if (!hasHarmony) return [];
      if (partnersOf.get(part.id)?.has(other.part.id) !== true || (isLine && !lines[partner])) return [];
      const together = byBar.flatMap((inBar, bar) => {
        const agrees = inBar.length === 0 ? undefined : fitPartner(inBar, partner, moments, 0);
        return agrees === undefined ? [] : [{ bar, agrees }];
      });
      const goesAlong = (run: readonly BarFit[]): boolean => {
        const inPlace = run.length >= FEWEST_BARS ? [] : run.flatMap(({ bar }) => byMoments(byBar[bar] ?? [], 0) ?? []);
        if (inPlace.length > 0 && mean(inPlace) >= IN_HARMONY) return false;
        const elsewhere = together.filter(({ bar }) => !run.some((each) => Math.abs(each.bar - bar) <= 1));
        if (elsewhere.length < FEWEST_BARS_TOGETHER) return false;
        if (mean(elsewhere.map(({ agrees }) => agrees)) < PARTNER_SHARE) return false;
        // Who goes with a third one here is in his place: the partner is the displaced one.
        return !placed.some((third, thirdIndex) => {
          if (thirdIndex === partIndex || thirdIndex === partner || third.part.unpitched) return false;
          const agreeing = run.map(({ bar }) => fitPartner(byBar[bar] ?? [], thirdIndex, moments, 0, 'outer') ?? 0);
          return mean(agreeing) >= PARTNER_SHARE;
        });
      };
      return search(
        (inBar, shift) => fitPartner(inBar, partner, moments, shift),
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
