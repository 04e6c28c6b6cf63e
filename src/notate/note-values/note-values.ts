/** Note values: which figure has which length, and how a length at a place in the bar is split into figures that can be read. */
import type { NoteFigure } from '../../model/music/written.ts';
import { pulseQuarters } from '../../model/music/timeline.ts';
import type { GridBar } from '../score-time/score-time.ts';
import { SHORTEST, strengthAt } from '../score-time/score-time.ts';

const BASES = [1, 2, 4, 8, 16, 32, 64] as const;
const WHOLE = 1920;
const QUARTER = 480;

const BY_LENGTH: ReadonlyMap<number, NoteFigure> = new Map(
  BASES.flatMap((base) => {
    const plain = WHOLE / base;
    const figures: [number, NoteFigure][] = [[plain, { base, dots: 0 }]];
    if (base <= 32) figures.push([plain * 1.5, { base, dots: 1 }]);
    if (base <= 4 && base > 1) figures.push([plain * 1.75, { base, dots: 2 }]);
    return figures;
  }),
);

/** The single figure of a length in divisions outside tuplets; undefined where it needs more than one. */
function figureOf(length: number): NoteFigure | undefined {
  return BY_LENGTH.get(length);
}

/** Length in divisions of a figure, tuplet included. */
export function lengthOf(figure: NoteFigure): number {
  const plain = WHOLE / figure.base;
  const dotted = figure.dots === 0 ? plain : figure.dots === 1 ? plain * 1.5 : plain * 1.75;
  return figure.tuplet === undefined ? dotted : (dotted * figure.tuplet.normal) / figure.tuplet.actual;
}

/** Starts of the groups of a bar, in units of its meter. */
type Groups = readonly number[] | undefined;

/** The strongest place strictly between two offsets of a bar; the one to split at. */
function strongestInside(
  bar: GridBar,
  from: number,
  to: number,
  groups: Groups,
): { readonly offset: number; readonly strength: number } {
  let offset = -1;
  let strength = Infinity;
  const takeLast = strengthAt(bar, from, groups) <= strengthAt(bar, to, groups);
  const first = Math.floor(from / SHORTEST) * SHORTEST + SHORTEST;
  for (let place = first; place < to; place += SHORTEST) {
    const here = strengthAt(bar, place, groups);
    if (here < strength || (here === strength && takeLast)) {
      strength = here;
      offset = place;
    }
  }
  return { offset, strength };
}

const BEAT = 2;

function isCompound(bar: GridBar): boolean {
  return pulseQuarters(bar.meter) * bar.meter.denominator > 4;
}

/** A stretch that might be one value: how strong the places at its ends and inside it are. */
interface Stretch {
  readonly bar: GridBar;
  readonly from: number;
  readonly to: number;
  readonly figure: NoteFigure;
  readonly start: number;
  readonly end: number;
  readonly inside: number;
}

function restMayStand({ bar, from, to, figure, start, end, inside }: Stretch): boolean {
  const dotsAllowed = isCompound(bar) && start <= BEAT && end <= BEAT ? 1 : 0;
  if (figure.dots > dotsAllowed) return false;
  if (inside <= BEAT) return inside === BEAT && start <= 1 && end <= 1;
  return start < inside || from % (to - from) === 0;
}

function noteMayStand({ bar, from, to, figure, start, end, inside }: Stretch): boolean {
  // A bar of seven eighths is two values tied, not one with two dots.
  if (start === 0 && end === 0 && from === 0 && to === bar.length) return figure.dots < 2;
  if (figure.dots === 2 && start > 1) return false;
  const length = to - from;
  if (isCompound(bar)) {
    if (inside <= BEAT) return start <= BEAT && end <= BEAT && (inside === BEAT || start === 0);
    return Math.min(start, end) < inside || (figure.dots === 0 && from % (length / 2) === 0);
  }
  if (inside <= 1) return start === 0 && end <= BEAT;
  // A syncopation of a whole beat is read at a glance; finer ones show the beat.
  const beat = WHOLE / bar.meter.denominator;
  if (inside === BEAT) return start <= BEAT || (figure.dots === 0 && length === beat && from % (beat / 2) === 0);
  return Math.min(start, end) < inside || (figure.dots === 0 && from % (length / 2) === 0);
}

export interface FiguredPiece {
  readonly from: number;
  readonly to: number;
  readonly figure: NoteFigure;
}

/**
 * Splits a straight stretch (offsets in the bar, multiples of a 64th) so that the middle of four beats, the pulses of compound meters and
 * the beats under fine syncopations can be seen. `groups`: see `groupsOfVoice`.
 */
export function splitStraight(
  bar: GridBar,
  from: number,
  to: number,
  isRest: boolean,
  groups?: readonly number[],
): FiguredPiece[] {
  const figure = figureOf(to - from);
  const inside = strongestInside(bar, from, to, groups);
  if (figure !== undefined) {
    const start = strengthAt(bar, from, groups);
    const end = strengthAt(bar, to, groups);
    const stretch = { bar, from, to, figure, start, end, inside: inside.strength };
    const may = isRest ? restMayStand(stretch) : noteMayStand(stretch);
    if (may || inside.offset < 0) return [{ from, to, figure }];
  }
  if (inside.offset < 0) return [{ from, to, figure: { base: 64, dots: 0 } }];
  return [
    ...splitStraight(bar, from, inside.offset, isRest, groups),
    ...splitStraight(bar, inside.offset, to, isRest, groups),
  ];
}

/** Start of a fifth or seventh of a quarter, in whole divisions from the start of the quarter. */
export function partStart(part: number, parts: 5 | 7): number {
  return Math.round((QUARTER * part) / parts);
}

/** Figures of so many sixteenths of a run, the longest first; a rest takes no dots. */
const RUN_FIGURES: readonly (readonly [count: number, figure: NoteFigure])[] = [
  [6, { base: 4, dots: 1 }],
  [4, { base: 4, dots: 0 }],
  [3, { base: 8, dots: 1 }],
  [2, { base: 8, dots: 0 }],
  [1, { base: 16, dots: 0 }],
];

/** Splits a stretch of five or seven sixteenths in the time of four into figures. */
export function splitRun(regionFrom: number, parts: 5 | 7, from: number, to: number, isRest: boolean): FiguredPiece[] {
  const partAt = (place: number): number => Math.round(((place - regionFrom) * parts) / QUARTER);
  const pieces: FiguredPiece[] = [];
  const end = partAt(to);
  for (let part = partAt(from); part < end;) {
    const fits = RUN_FIGURES.find(([count, figure]) => part + count <= end && (figure.dots === 0 || !isRest));
    if (fits === undefined) break;
    const [count, figure] = fits;
    pieces.push({ from: regionFrom + partStart(part, parts), to: regionFrom + partStart(part + count, parts), figure });
    part += count;
  }
  return pieces;
}

/** Splits a stretch inside a triplet region into figures; `third` is a third of the region. */
export function splitTriplet(
  regionFrom: number,
  third: number,
  from: number,
  to: number,
  isRest: boolean,
): FiguredPiece[] {
  const figure = figureOf(((to - from) * 3) / 2);
  const offset = from - regionFrom;
  const aligned = offset % third === 0 || Math.floor(offset / third) === Math.floor((to - regionFrom - 1) / third);
  if (figure !== undefined && figure.dots < (isRest ? 1 : 2) && aligned) return [{ from, to, figure }];
  let split = regionFrom + (Math.floor(offset / third) + 1) * third;
  if (split >= to) {
    // Inside one third: cut at the largest smaller value.
    let step = third / 2;
    while (step >= SHORTEST / 3 && (offset % step !== 0 || step >= to - from)) step /= 2;
    split = from + step;
  }
  if (split >= to || split <= from) return [{ from, to, figure: figure ?? { base: 64, dots: 0 } }];
  return [
    ...splitTriplet(regionFrom, third, from, split, isRest),
    ...splitTriplet(regionFrom, third, split, to, isRest),
  ];
}
