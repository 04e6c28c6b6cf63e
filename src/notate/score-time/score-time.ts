/**
 * Bars on the written clock: whole divisions, cells (the beats in which a subdivision is chosen) and metrical strength.
 * Bar lines are kept on multiples of a 64th (30 divisions), so that every bar can be filled with ordinary figures.
 */
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import type { Bar, Meter } from '../../model/music/timeline.ts';
import { pulseQuarters } from '../../model/music/timeline.ts';

/** Shortest straight figure: a 64th. */
export const SHORTEST = DIVISIONS_PER_QUARTER / 16;

export interface Cell {
  /** Divisions from the start of bar 1. */
  readonly start: number;
  readonly length: number;
  readonly barIndex: number;
}

export interface GridBar {
  readonly index: number;
  readonly number: number;
  readonly start: number;
  readonly length: number;
  readonly meter: Meter;
  readonly startQuarters: number;
  readonly secondsPerQuarter: number;
  readonly millisecondsPerDivision: number;
  readonly firstCell: number;
  readonly cells: readonly Cell[];
}

export interface ScoreTime {
  readonly bars: readonly GridBar[];
  readonly cells: readonly Cell[];
  readonly barStarts: Float64Array;
  readonly cellStarts: Float64Array;
  readonly start: number;
  readonly end: number;
}

function snapToShortest(divisions: number): number {
  return Math.round(divisions / SHORTEST) * SHORTEST;
}

/** Length of a cell in divisions: the pulse, but a quarter where the pulse is longer and simple, an eighth where it is shorter. */
function cellLength(meter: Meter): number {
  const pulse = Math.round(pulseQuarters(meter) * DIVISIONS_PER_QUARTER);
  const unit = (4 / meter.denominator) * DIVISIONS_PER_QUARTER;
  if (pulse > unit) return pulse;
  return Math.min(DIVISIONS_PER_QUARTER, Math.max(DIVISIONS_PER_QUARTER / 2, pulse));
}

const known = new WeakMap<readonly Bar[], ScoreTime>();

/**
 * Written bars of a timeline, each split into cells; a short bar (a pickup) is counted from its end. The same bars give the
 * same object, so that what is made from it can be found again.
 */
export function scoreTimeOf(bars: readonly Bar[]): ScoreTime {
  let time = known.get(bars);
  if (time === undefined) {
    time = timeOf(bars);
    known.set(bars, time);
  }
  return time;
}

function timeOf(bars: readonly Bar[]): ScoreTime {
  const cells: Cell[] = [];
  const written: GridBar[] = [];
  let position = snapToShortest((bars[0]?.startQuarters ?? 0) * DIVISIONS_PER_QUARTER);
  const start = position;
  for (const [index, bar] of bars.entries()) {
    const end = snapToShortest((bar.startQuarters + bar.lengthQuarters) * DIVISIONS_PER_QUARTER);
    const length = Math.max(SHORTEST, end - position);
    const size = cellLength(bar.meter);
    const firstCell = cells.length;
    const barCells: Cell[] = [];
    const offset = index === 0 && bar.number === 0 ? length % size : 0;
    if (offset > 0) barCells.push({ start: position, length: offset, barIndex: index });
    for (let from = offset; from < length; from += size) {
      barCells.push({ start: position + from, length: Math.min(size, length - from), barIndex: index });
    }
    cells.push(...barCells);
    const secondsPerQuarter = bar.lengthQuarters > 0 ? bar.lengthSeconds / bar.lengthQuarters : 0.5;
    written.push({
      index,
      number: bar.number,
      start: position,
      length,
      meter: bar.meter,
      startQuarters: bar.startQuarters,
      secondsPerQuarter,
      millisecondsPerDivision: Math.max(1e-3, (secondsPerQuarter * 1000) / DIVISIONS_PER_QUARTER),
      firstCell,
      cells: barCells,
    });
    position += length;
  }
  const barStarts = Float64Array.from(written, (bar) => bar.start);
  const cellStarts = Float64Array.from(cells, (cell) => cell.start);
  return { bars: written, cells, barStarts, cellStarts, start, end: position };
}

/** Asked for every note many times over: bar lines as plain numbers. */
function lastAtOrBefore(starts: Float64Array, position: number): number {
  let low = 0;
  let high = starts.length;
  while (low < high) {
    const centre = (low + high) >> 1;
    if ((starts[centre] as number) <= position) low = centre + 1;
    else high = centre;
  }
  return low === 0 ? 0 : low - 1;
}

/** Index of the bar that holds a division, clamped to the first and last. */
export function barIndexAtDivision(time: ScoreTime, division: number): number {
  return lastAtOrBefore(time.barStarts, division);
}

/** Index of the cell that holds a division, clamped to the first and last. */
export function cellIndexAtDivision(time: ScoreTime, division: number): number {
  return lastAtOrBefore(time.cellStarts, division);
}

/** Length in divisions of the beat that holds a division. */
export function beatAt(time: ScoreTime, division: number): number {
  return time.cells[cellIndexAtDivision(time, division)]?.length ?? DIVISIONS_PER_QUARTER;
}

/**
 * Inner groupings of meters that are neither triple nor compound, by where their groups start, the usual one first: 3+2 for five,
 * 2+2+3 for seven (common practice, no source).
 */
const GROUPINGS: Readonly<Record<number, readonly (readonly number[])[]>> = {
  4: [[2]],
  5: [[3], [2]],
  7: [
    [2, 4],
    [3, 5],
    [2, 5],
  ],
  8: [
    [3, 6],
    [3, 5],
    [2, 5],
  ],
};

function groupStarts(numerator: number): readonly number[] {
  return GROUPINGS[numerator]?.[0] ?? [];
}

/**
 * Where the groups of a bar in five, seven or eight start, in units of the meter: as usual, but as a voice itself shows where it holds notes
 * over the usual borders and has onsets at all of another grouping (E. Gould, Behind Bars, on irregular meters, from memory: beams and note
 * values show how the bar is divided). `starts` are the offsets at which something begins in it.
 */
export function groupsOfVoice(bar: GridBar, starts: readonly number[]): readonly number[] {
  const { numerator, denominator } = bar.meter;
  const unit = (4 / denominator) * DIVISIONS_PER_QUARTER;
  const shows = (groups: readonly number[]): boolean => groups.every((group) => starts.includes(group * unit));
  if (bar.length !== unit * numerator) return groupStarts(numerator);
  return GROUPINGS[numerator]?.find(shows) ?? groupStarts(numerator);
}

/**
 * Metrical strength of a position inside a bar: 0 the bar line, 1 the middle of four beats or the start of a group, 2 a beat (the
 * pulse of a compound meter), then one more for every halving of the beat. Smaller is stronger. `groups`: see `groupsOfVoice`.
 */
export function strengthAt(
  bar: GridBar,
  offset: number,
  groups: readonly number[] = groupStarts(bar.meter.numerator),
): number {
  if (offset <= 0 || offset >= bar.length) return 0;
  const { numerator, denominator } = bar.meter;
  const unit = (4 / denominator) * DIVISIONS_PER_QUARTER;
  const full = unit * numerator;
  const place = bar.number === 0 && bar.length < full ? offset + full - bar.length : offset;
  const pulse = pulseQuarters(bar.meter) * DIVISIONS_PER_QUARTER;
  if (pulse > unit) {
    const pulses = numerator / 3;
    if (place % pulse === 0) return pulses === 4 && place / pulse === 2 ? 1 : 2;
    return halvings(place, unit, 3);
  }
  if (place % unit === 0) return groups.includes(place / unit) ? 1 : 2;
  return halvings(place, unit / 2, 3);
}

function halvings(place: number, step: number, level: number): number {
  let size = step;
  let strength = level;
  while (size >= SHORTEST && place % size !== 0) {
    size /= 2;
    strength++;
  }
  return strength;
}
