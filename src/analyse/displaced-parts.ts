/** Parts whose notes fit what the others play a bar or a beat away, and not what they play now: music pasted to a wrong place. */
import type { Part } from '../model/arrangement.ts';
import type { Doubling } from '../model/readings.ts';
import type { Timeline } from '../model/timeline.ts';
import { pulseQuarters } from '../model/timeline.ts';
import { FEWEST_BARS_TOGETHER, fitPartner, isOneLine, partnersByPart } from './line-partners.ts';
import type { Moment } from './moments.ts';
import { firstAfter } from './moments.ts';
import type { PlacedPart } from './placed-notes.ts';
import type { Slice } from './slices.ts';

/** In a displaced bar so much of the time is in the harmony of the other place (a note in ten may be foreign), ... */
const FITS_THERE = 0.85;
/** ... at least so much more than here. */
const BETTER_BY = 0.3;
/** Three bars may agree with another place by chance (so they do once in 1500 bars of open scores). */
const FEWEST_BARS = 4;
/** Three bars beside a line that the part doubles everywhere else are no chance. */
const FEWEST_BARS_OF_PARTNER = 3;
/** So much of its other bars a part goes with its partner. */
const PARTNER_SHARE = 0.8;
/** Pitch classes of the others that make a harmony. */
const FEWEST_CLASSES = 3;

export type Displacement = 'a bar late' | 'a bar early' | 'a beat late' | 'a beat early';

export interface DisplacedPassage {
  readonly part: Part;
  /** Bar indices. */
  readonly from: number;
  readonly to: number;
  readonly displacement: Displacement;
  readonly fitsHere: number;
  readonly fitsThere: number;
  /** The part whose line it goes along with everywhere else, where that tells it. */
  readonly besideId?: string;
}

/** Pitch classes of the other parts between two places, with or without who leads. */
function othersAt(
  moments: readonly Moment[],
  from: number,
  to: number,
  partIndex: number,
  withLead: boolean,
): ReadonlySet<number> {
  const classes = new Set<number>();
  for (let index = firstAfter(moments, from); index < moments.length; index++) {
    const moment = moments[index];
    if (moment === undefined || moment.startQuarters >= to - 1e-6) break;
    for (const [part, pitchClass, leads] of moment.classes) {
      if (part !== partIndex && (withLead || !leads)) classes.add(pitchClass);
    }
  }
  return classes;
}

/** A second or a seventh from something that sounds: a tone that nobody else has may complete a chord, one beside another grinds. */
function grinds(pitchClass: number, others: ReadonlySet<number>): boolean {
  return [1, 2, 10, 11].some((interval) => others.has((pitchClass + interval) % 12));
}

/**
 * Share of the notes' time, in one bar, whose pitch class the others have in the same stretch moved by so many quarters; in its own
 * place what does not grind belongs too.
 */
function fit(
  notes: PlacedPart['notes'],
  partIndex: number,
  moments: readonly Moment[],
  shift: number,
): number | undefined {
  let held = 0;
  let agreeing = 0;
  for (const { startQuarters, endQuarters, midi } of notes) {
    // Slowly moving harmony is heard over at least a quarter.
    const end = Math.max(endQuarters, startQuarters + 1);
    const others = othersAt(moments, startQuarters + shift, end + shift, partIndex, true);
    if (others.size < FEWEST_CLASSES) continue;
    const length = endQuarters - startQuarters;
    held += length;
    // A tune has suspensions and passing notes: what rubs against it alone is no displacement.
    const besides = othersAt(moments, startQuarters, end, partIndex, false);
    if (others.has(midi % 12) || (shift === 0 && !grinds(midi % 12, besides))) agreeing += length;
  }
  return held === 0 ? undefined : agreeing / held;
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

const mean = (numbers: readonly number[]): number => numbers.reduce((sum, each) => sum + each, 0) / numbers.length;

/**
 * Passages of background parts that fit another place better: at least four bars, all but one of four fitting better there, others that fit both
 * counted in. Bars in which a part is in front are left out (a tune has notes of its own), and what has no pitch.
 */
export function displacedPassages(
  placed: readonly PlacedPart[],
  slices: readonly Slice[],
  front: readonly ReadonlySet<string>[],
  { bars }: Timeline,
  mostHere: number,
  doublings: readonly Doubling[],
): readonly DisplacedPassage[] {
  const moments = slices.map(({ barIndex, startQuarters, endQuarters, sounding }): Moment => ({
    startQuarters,
    endQuarters,
    classes: sounding.map(
      ({ note, partIndex }) =>
        [partIndex, note.midi % 12, front[barIndex]?.has(placed[partIndex]?.part.id ?? '') ?? false] as const,
    ),
  }));
  const lines = placed.map(({ notes }) => isOneLine(notes));
  const partnersOf = partnersByPart(doublings);
  const passages = placed.flatMap(({ part, notes }, partIndex): DisplacedPassage[] => {
    if (part.unpitched) return [];
    const byBar = bars.map((bar) =>
      notes.filter(
        ({ startQuarters }) =>
          startQuarters >= bar.startQuarters - 1e-6 && startQuarters < bar.startQuarters + bar.lengthQuarters - 1e-6,
      ),
    );
    const kinds: readonly (readonly [Displacement, (bar: number) => number])[] = [
      ['a bar late', (bar) => -(bars[bar - 1]?.lengthQuarters ?? 0)],
      ['a bar early', (bar) => bars[bar]?.lengthQuarters ?? 0],
      ['a beat late', (bar) => -pulseQuarters(bars[bar]?.meter ?? { numerator: 4, denominator: 4 })],
      ['a beat early', (bar) => pulseQuarters(bars[bar]?.meter ?? { numerator: 4, denominator: 4 })],
    ];
    type Fit = (inBar: PlacedPart['notes'], shift: number) => number | undefined;
    const search = (fitOf: Fit, fewestBars: number, isPlausible: (run: readonly BarFit[]) => boolean): Candidate[] =>
      kinds.flatMap(([displacement, shiftOf]) => {
        const fits = byBar.flatMap((inBar, bar): BarFit[] => {
          const shift = shiftOf(bar);
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
    const inHarmony = search(
      (inBar, shift) => fit(inBar, partIndex, moments, shift),
      FEWEST_BARS,
      () => true,
    );
    // Beside a line that it doubles everywhere else.
    const besidePartner = placed.flatMap((other, partner): Candidate[] => {
      if (partnersOf.get(part.id)?.has(other.part.id) !== true || (isLine && !lines[partner])) return [];
      const together = byBar.flatMap((inBar, bar) => {
        const agrees = inBar.length === 0 ? undefined : fitPartner(inBar, partner, moments, 0);
        return agrees === undefined ? [] : [{ bar, agrees }];
      });
      const goesAlong = (run: readonly BarFit[]): boolean => {
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
    const best = [...found].sort((a, b) => b.gain - a.gain);
    return best
      .filter(
        ({ passage }, index) =>
          !best.slice(0, index).some((other) => other.passage.from <= passage.to && other.passage.to >= passage.from),
      )
      .map(({ passage }) => passage);
  });
  // Of two that go apart one is told: who comes late.
  return passages.filter(
    (passage) =>
      !passages.some(
        (other) =>
          other.besideId === passage.part.id &&
          passage.besideId === other.part.id &&
          other.from <= passage.to &&
          other.to >= passage.from &&
          other.displacement.endsWith('late') &&
          passage.displacement.endsWith('early'),
      ),
  );
}
