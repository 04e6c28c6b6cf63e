/**
 * Passages in which a part is not at home among the others, as it is everywhere else, and would be a bar or a beat away, or a step higher or lower:
 * put down at a wrong place or pitch. A part is measured by its own habit, so that thin textures and free voicings have their own standard. The
 * figures are ours.
 */
import { mean } from '../../model/music/dynamics.ts';
import type { Part } from '../../model/music/arrangement.ts';
import type { Bar } from '../../model/music/timeline.ts';
import { numbersIn } from '../../model/words/plain-words.ts';
import { fitSteps } from './displaced-fit.ts';
import type { Moment } from './moments.ts';
import type { Slip } from './passages.ts';
import { SLIPS, apart } from './passages.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';
import { notesByBar } from '../placed-notes/placed-notes.ts';

/** What belongs to the place, and what is so much nearer to the others elsewhere, in how many bars at least. */
const HOME = 0.75;
const FEWEST_HOME_BARS = 4;
const BETTER_BY = 0.2;
const FEWEST_BETTER = 3;
/** No bar of the passage fits worse there by more than this. */
const WORSE_BY = 0.1;
/** In the passage so little is at home; where more bars than the fewest say so, a little more. */
const MOST_HERE = 0.45;
const MOST_HERE_OF_MORE = 0.5;
/** So much under what the part is used to, and there as near to it. */
const UNDER_HOME = 0.3;
const NEAR_HOME = 0.05;
const LEAST_THERE = 0.8;
/** What every bar has to bring so that a passage goes on over it. */
const PER_BAR = 0.1;
const LEAST_GAIN = 1.3;
/** A line that stands at a wrong pitch has so many tones in the passage: one or two, held or struck again, may be what a chord lacks. */
const FEWEST_TONES = 3;
/** A second passage of the part that gains this share of it elsewhere makes both a habit. */
const HABIT_SHARE = 1 / 3;
/** A passage is looked for in so many bars. */
const MOST_BARS = 10;

export type Move =
  { readonly kind: 'time'; readonly words: Slip } | { readonly kind: 'pitch'; readonly semitones: number };

export interface MovedPassage {
  readonly part: Part;
  /** Bar indices. */
  readonly from: number;
  readonly to: number;
  readonly move: Move;
  readonly fitsHere: number;
  readonly fitsThere: number;
}

/** By bar how well a part fits where it is and moved; undefined where it is silent, leads, or has nobody beside it. */
type Fits = readonly (readonly [here: number, there: number] | undefined)[];

interface Window {
  readonly from: number;
  readonly to: number;
  readonly gain: number;
  readonly pairs: readonly (readonly [here: number, there: number])[];
}

/** The window from a bar on that gains most. */
function bestFrom(fits: Fits, from: number): Window | undefined {
  const pairs: (readonly [number, number])[] = [];
  let gain = 0;
  let best: Window | undefined;
  for (let bar = from; bar < Math.min(fits.length, from + MOST_BARS); bar++) {
    const pair = fits[bar];
    if (pair === undefined) {
      if (bar === from) return undefined;
      continue;
    }
    pairs.push(pair);
    gain += pair[1] - pair[0] - PER_BAR;
    if (gain > (best?.gain ?? 0)) best = { from, to: bar, gain, pairs: [...pairs] };
  }
  return best;
}

function isBeside(one: Pick<Window, 'from' | 'to'>, other: Pick<Window, 'from' | 'to'>): boolean {
  return one.from <= other.to + 1 && one.to >= other.from - 1;
}

/** The passage that stands out of all the part plays; undefined where none does. */
function outstanding(fits: Fits): (Window & { readonly here: number; readonly there: number }) | undefined {
  const windows = fits.flatMap((_, bar) => bestFrom(fits, bar) ?? []).sort((a, b) => b.gain - a.gain);
  const [best] = windows;
  if (best === undefined || best.gain < LEAST_GAIN) return undefined;
  const { pairs, gain } = best;
  const home = fits.flatMap((pair, bar) =>
    pair === undefined || isBeside(best, { from: bar, to: bar }) ? [] : [pair[0]],
  );
  if (home.length < FEWEST_HOME_BARS || mean(home) < HOME) return undefined;
  const here = mean(pairs.map(([own]) => own));
  const there = mean(pairs.map(([, other]) => other));
  const better = pairs.filter(([own, other]) => other - own >= BETTER_BY).length;
  if (pairs.some(([own, other]) => own - other > WORSE_BY) || better < FEWEST_BETTER) return undefined;
  if (here > (better > FEWEST_BETTER ? MOST_HERE_OF_MORE : MOST_HERE) || here > mean(home) - UNDER_HOME)
    return undefined;
  if (there < LEAST_THERE || there < mean(home) - NEAR_HOME) return undefined;
  const second = windows.find((window) => !isBeside(best, window))?.gain ?? 0;
  return second > HABIT_SHARE * gain ? undefined : { ...best, here, there };
}

/** A note of many beats has two harmonies at its ends a beat away, one of which it always meets. */
const MOST_SHIFTS = 2;

function isTooLong(notes: PlacedPart['notes'], shift: number): boolean {
  return notes.some(
    ({ startQuarters, endQuarters }) => endQuarters - startQuarters > MOST_SHIFTS * Math.abs(shift) + 1e-6,
  );
}

function tonesOf(notes: PlacedPart['notes']): number {
  return new Set(notes.map(({ midi }) => midi % 12)).size;
}

const IN_PITCH: readonly number[] = [1, -1, 2, -2];

/** Who rested for so many bars comes in. */
const RESTED_BARS = 2;
/** So many bars in the rhythm of a fellow who came in a bar before, of which so many grind here and belong there. */
const FEWEST_BESIDE_FELLOW = 3;
const FEWEST_GRINDING = 2;

type Line = readonly PlacedPart['notes'][];

function comesIn(line: Line, bar: number): boolean {
  const before = line.slice(Math.max(0, bar - RESTED_BARS), bar);
  return (line[bar] ?? []).length > 0 && before.every((notes) => notes.length === 0);
}

/** Places and lengths of the notes of a bar, to an eighth; '' where it has none. */
function figureIn(line: Line, bars: readonly Bar[], bar: number): string {
  const start = bars[bar]?.startQuarters ?? 0;
  return (line[bar] ?? [])
    .map(({ startQuarters, endQuarters }) =>
      [startQuarters - start, endQuarters - startQuarters].map((quarters) => Math.round(quarters * 2)).join('+'),
    )
    .join(' ');
}

/**
 * Passages with which a part comes in a bar after another of its instrument, in the other's rhythm of the bar before, and belongs to the harmony there:
 * a second horn that was put down a bar late. One that is in the harmony where it is answers, as in a canon.
 */
export function lateBesideFellows(
  placed: readonly PlacedPart[],
  moments: readonly Moment[],
  front: readonly ReadonlySet<string>[],
  bars: readonly Bar[],
): readonly (MovedPassage & { readonly fellow: Part })[] {
  const lines = placed.map(({ notes }): Line => notesByBar(notes, bars));
  return placed.flatMap(({ part }, partIndex) => {
    const own = lines[partIndex] ?? [];
    const pairAt = (bar: number): readonly [here: number, there: number] | undefined => {
      const [notes, shift] = [own[bar] ?? [], -(bars[bar - 1]?.lengthQuarters ?? 0)];
      const [here, there] = [0, shift].map((by) => fitSteps(notes, partIndex, moments, by, [0])?.[0]);
      return here === undefined || there === undefined ? undefined : [here, there];
    };
    return placed.flatMap(({ part: fellow }, index) => {
      const other = lines[index] ?? [];
      if (index === partIndex || part.unpitched || fellow.instrument !== part.instrument) return [];
      return [...bars.keys()].flatMap((from) => {
        if (!comesIn(own, from) || !comesIn(other, from - 1)) return [];
        const isLate = (bar: number): boolean => {
          const figure = figureIn(own, bars, bar);
          const isBehind =
            front[bar]?.has(part.id) !== true && bars[bar]?.lengthQuarters === bars[bar - 1]?.lengthQuarters;
          return isBehind && figure !== '' && figure === figureIn(other, bars, bar - 1);
        };
        let to = from;
        while (isLate(to)) to++;
        const run = numbersIn({ from, to: to - 1 });
        // Where the rhythm is the same in every bar, the harmony tells how far it goes.
        const isEven = run.every((bar) => figureIn(own, bars, bar) === figureIn(other, bars, bar));
        const isGrinding = (bar: number): boolean => {
          const [here, there] = pairAt(bar) ?? [1, 0];
          return here <= MOST_HERE && there >= LEAST_THERE;
        };
        const last = isEven ? run.findLast(isGrinding) : run.at(-1);
        const passage = run.filter((bar) => last !== undefined && bar <= last);
        const pairs = passage.flatMap((bar) => {
          const pair = pairAt(bar);
          return pair === undefined ? [] : [pair];
        });
        const [fitsHere, fitsThere] = [mean(pairs.map(([here]) => here)), mean(pairs.map(([, there]) => there))];
        if (last === undefined || passage.length < FEWEST_BESIDE_FELLOW) return [];
        if (passage.filter(isGrinding).length < FEWEST_GRINDING || fitsHere > MOST_HERE_OF_MORE) return [];
        if (fitsThere < LEAST_THERE || pairs.some(([here, there]) => here - there > WORSE_BY)) return [];
        return [
          { part, fellow, from, to: last, move: { kind: 'time', words: 'a bar late' } as const, fitsHere, fitsThere },
        ];
      });
    });
  });
}

/** At most one passage at a time: of two parts beside one another the one that gains more is out of place. */
export function movedPassages(
  placed: readonly PlacedPart[],
  moments: readonly Moment[],
  front: readonly ReadonlySet<string>[],
  bars: readonly Bar[],
): readonly MovedPassage[] {
  const found = placed.flatMap(({ part, notes }, partIndex) => {
    if (part.unpitched) return [];
    const isInFront = (bar: number): boolean => front[bar]?.has(part.id) === true;
    // A bar by itself is no tune: who comes in too early is alone for so long while the others close.
    const leads = (bar: number): boolean => isInFront(bar) && (isInFront(bar - 1) || isInFront(bar + 1));
    const byBar = notesByBar(notes, bars).map((inBar, bar) => (leads(bar) ? [] : inBar));
    const inPlace = byBar.map((inBar) => fitSteps(inBar, partIndex, moments, 0, [0, ...IN_PITCH]));
    const here = inPlace.map((shares) => shares?.[0]);
    const pairsOf = (thereIn: (bar: number) => number | undefined): Fits =>
      here.map((own, bar) => {
        const there = own === undefined ? undefined : thereIn(bar);
        return own === undefined || there === undefined ? undefined : [own, there];
      });
    const moved = (move: Move, thereIn: (bar: number) => number | undefined) => {
      const window = outstanding(pairsOf(thereIn));
      if (window === undefined) return [];
      const { from, to, gain, here: fitsHere, there: fitsThere } = window;
      return [{ gain, passage: { part, from, to, move, fitsHere, fitsThere } }];
    };
    return [
      ...SLIPS.flatMap(([words, shiftOf]) =>
        moved({ kind: 'time', words }, (bar) => {
          const shift = shiftOf(bars, bar);
          const inBar = byBar[bar] ?? [];
          return shift === 0 || isTooLong(inBar, shift)
            ? undefined
            : fitSteps(inBar, partIndex, moments, shift, [0])?.[0];
        }),
      ),
      ...IN_PITCH.flatMap((semitones, index) =>
        moved({ kind: 'pitch', semitones }, (bar) => inPlace[bar]?.[index + 1]),
      ).filter(({ passage: { from, to } }) => tonesOf(byBar.slice(from, to + 1).flat()) >= FEWEST_TONES),
    ];
  });
  return apart(found.sort((a, b) => b.gain - a.gain).map(({ passage }) => passage));
}
