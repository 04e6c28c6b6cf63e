/** Which notes stand under one beam. */
import type { Meter } from '../../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import type { WrittenEvent } from '../../../model/music/written.ts';

const WHOLE = 4 * DIVISIONS_PER_QUARTER;

/** All ways to write a number as twos and threes, in the order in which a reader expects them. */
function twosAndThrees(total: number): number[][] {
  if (total === 0) return [[]];
  if (total < 2) return [];
  return [
    ...twosAndThrees(total - 3).map((rest) => [3, ...rest]),
    ...twosAndThrees(total - 2).map((rest) => [2, ...rest]),
  ];
}

const USUAL: Readonly<Record<number, readonly number[]>> = { 5: [3, 2], 7: [2, 2, 3], 8: [3, 3, 2] };

function bordersOf(sizes: readonly number[], unit: number): number[] {
  let position = 0;
  return sizes.slice(0, -1).map((size) => (position += size * unit));
}

/** The grouping at whose borders most notes start; the usual one where several do equally well. */
function asymmetricGroups(meter: Meter, events: readonly WrittenEvent[], barStart: number): readonly number[] {
  if (meter.numerator > 15) return new Array<number>(meter.numerator).fill(1);
  const unit = WHOLE / meter.denominator;
  const usual = USUAL[meter.numerator];
  const starts = new Set(events.map((event) => event.start - barStart));
  let best: readonly number[] = [meter.numerator];
  let fewest = Infinity;
  for (const candidate of [...(usual === undefined ? [] : [usual]), ...twosAndThrees(meter.numerator)]) {
    const missed = bordersOf(candidate, unit).filter((border) => !starts.has(border)).length;
    if (missed < fewest) {
      best = candidate;
      fewest = missed;
    }
  }
  return best;
}

/**
 * Ends of the beam groups in divisions from the start of a full bar (E. Gould, Behind Bars, from memory): one beat in simple
 * meters, three units in compound ones; in 5, 7, 8 ... eighths the grouping of twos and threes that the notes themselves
 * show, else the usual one.
 */
export function groupEnds(meter: Meter, events: readonly WrittenEvent[], barStart: number): readonly number[] {
  const unit = WHOLE / meter.denominator;
  const { numerator, denominator } = meter;
  let sizes: readonly number[];
  if (denominator >= 8 && numerator % 3 === 0) sizes = new Array<number>(numerator / 3).fill(3);
  else if (denominator >= 8 && (numerator === 2 || numerator === 4)) sizes = new Array<number>(numerator / 2).fill(2);
  else if (denominator >= 8) sizes = asymmetricGroups(meter, events, barStart);
  else if (denominator <= 2) sizes = new Array<number>(numerator * (4 / denominator)).fill(denominator / 4);
  else sizes = new Array<number>(numerator).fill(1);
  const ends: number[] = [];
  let position = 0;
  for (const size of sizes) {
    position += size * unit;
    ends.push(position);
  }
  return ends;
}

function beamable(event: WrittenEvent): boolean {
  return event.kind === 'notes' && event.figure.base >= 8;
}

function plainEighths(group: readonly WrittenEvent[]): boolean {
  return group.every(
    (event) => event.figure.base === 8 && event.figure.dots === 0 && event.figure.tuplet === undefined,
  );
}

/**
 * Runs of at least two events of one voice that share a beam, as indices. `offset` is where the bar starts in a full bar
 * (a pickup starts late). No beam goes over a rest: a rest ends it, and the next note begins another. Plain eighths are joined to halves in 2/4, 4/4 and 2/2 (never
 * over the middle of 4/4) and to the whole bar in 3/4 (Gould, Behind Bars, from memory). No beam goes on over a place of
 * `breaks` (divisions from the start of bar 1), where the clef changes.
 */
export function beamRuns(
  voice: readonly WrittenEvent[],
  ends: readonly number[],
  meter: Meter,
  barStart: number,
  offset: number,
  breaks: readonly number[] = [],
): readonly (readonly number[])[] {
  const groups: { readonly indices: number[]; readonly groupIndex: number; closed: boolean }[] = [];
  voice.forEach((event, index) => {
    const position = event.start - barStart + offset;
    let groupIndex = ends.findIndex((end) => position < end);
    if (groupIndex < 0) groupIndex = ends.length;
    const last = groups.at(-1);
    if (last !== undefined && breaks.includes(event.start)) last.closed = true;
    if (!beamable(event)) {
      if (last !== undefined) last.closed = true;
      return;
    }
    // A tuplet that reaches over a beat keeps its beam.
    const previous = voice[index - 1];
    const sameTuplet =
      event.figure.tuplet !== undefined &&
      previous?.figure.tuplet?.id === event.figure.tuplet.id &&
      last?.closed === false;
    if (last !== undefined && !last.closed && (last.groupIndex === groupIndex || sameTuplet)) last.indices.push(index);
    else groups.push({ indices: [index], groupIndex, closed: false });
  });

  const inHalves =
    meter.denominator === 2 || (meter.denominator === 4 && (meter.numerator === 4 || meter.numerator === 2));
  const joined: number[][] = [];
  let previous:
    { readonly indices: readonly number[]; readonly groupIndex: number; readonly closed: boolean } | undefined;
  for (const group of groups) {
    const events = group.indices.flatMap((index) => voice[index] ?? []);
    const before = joined.at(-1);
    const mayJoin = meter.denominator === 4 && meter.numerator === 3 ? true : inHalves && group.groupIndex % 2 === 1;
    const expected = meter.numerator === 3 && meter.denominator === 4 ? 2 * group.groupIndex : 2;
    // Where a half is the beat its eighths hang together, also after a rest; elsewhere only whole groups do.
    const isWhole = meter.denominator === 2 || (before?.length === expected && group.indices.length === 2);
    if (
      before !== undefined &&
      previous !== undefined &&
      !previous.closed &&
      mayJoin &&
      previous.groupIndex === group.groupIndex - 1 &&
      isWhole &&
      plainEighths(events) &&
      plainEighths(before.flatMap((index) => voice[index] ?? []))
    ) {
      before.push(...group.indices);
    } else {
      joined.push([...group.indices]);
    }
    previous = group;
  }
  return joined.filter((indices) => indices.length > 1);
}
