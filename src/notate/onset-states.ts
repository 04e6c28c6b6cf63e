/** Where each played onset may be written: places near it, under every subdivision of the cells around. */
import type { ScoreTime } from './score-time.ts';
import { cellIndexAtDivision } from './score-time.ts';
import type { Subdivision } from './subdivisions.ts';
import { subdivisionsOf } from './subdivisions.ts';

/** One onset: a note, or notes that were rolled into one chord. */
export interface Onset {
  /** Indices into the part's notes. */
  readonly notes: readonly number[];
  /** Played place in divisions, lateness taken out; `lastPlace` is where a rolled chord is complete. */
  readonly place: number;
  readonly lastPlace: number;
  /** Highest to lowest weight 1..0: an onset that shares its error with others of its chord says less. */
  readonly weight: number;
}

/** States of all onsets in a row; those of onset `i` stand from `from[i]` to `from[i + 1]`. */
export interface OnsetStates {
  readonly from: Int32Array;
  readonly cell: Int32Array;
  readonly slot: Int32Array;
  /** Written place in divisions. */
  readonly position: Int32Array;
  /** Played away from it, in milliseconds. */
  readonly offMs: Float64Array;
  readonly subdivision: readonly Subdivision[];
  readonly subdivisionId: Int32Array;
}

/** Farther than this from its written place nothing is looked for, except the nearest place of each subdivision. */
const WINDOW_MS = 70;

export function millisecondsPerDivision(time: ScoreTime, cellIndex: number): number {
  return time.bars[time.cells[cellIndex]?.barIndex ?? 0]?.millisecondsPerDivision ?? 1;
}

/** Whether a cell has onsets enough, with those close outside, for a group of fast notes. */
function busyCells(onsets: readonly Onset[], time: ScoreTime): (cellIndex: number) => boolean {
  const known = new Map<number, boolean>();
  let low = 0;
  return (cellIndex) => {
    const before = known.get(cellIndex);
    if (before !== undefined) return before;
    const cell = time.cells[cellIndex];
    const reach = WINDOW_MS / millisecondsPerDivision(time, cellIndex);
    const start = (cell?.start ?? 0) - reach;
    const end = (cell?.start ?? 0) + (cell?.length ?? 0) + reach;
    while (low > 0 && (onsets[low]?.place ?? 0) >= start) low--;
    while (low < onsets.length && (onsets[low]?.place ?? 0) < start) low++;
    const third = onsets[low + 2];
    const busy = third !== undefined && third.place <= end;
    known.set(cellIndex, busy);
    return busy;
  };
}

/** All states of a stream of onsets, in order of their played places. */
export function statesOf(onsets: readonly Onset[], time: ScoreTime): OnsetStates {
  const from = new Int32Array(onsets.length + 1);
  const cells: number[] = [];
  const slots: number[] = [];
  const positions: number[] = [];
  const offs: number[] = [];
  const subdivision: Subdivision[] = [];
  const isBusy = busyCells(onsets, time);
  for (const [index, onset] of onsets.entries()) {
    from[index] = cells.length;
    const home = cellIndexAtDivision(time, onset.place);
    const scale = millisecondsPerDivision(time, home);
    const reach = WINDOW_MS / scale;
    let spills = false;
    for (let at = home - 1; at <= home + 1; at++) {
      const cell = time.cells[at];
      if (cell === undefined) continue;
      const isHome = at === home;
      const isLast = at === time.cells.length - 1;
      if (!isHome && (at < home ? onset.place - reach > cell.start + cell.length : !spills)) continue;
      for (const option of subdivisionsOf(cell.length)) {
        if (option.fewest > 2 && !isBusy(at)) continue;
        const count = option.slots.length - 1;
        const near = isHome ? nearestPlace(option.slots, onset.place - cell.start) : -1;
        if (near === count && !isLast) spills = true;
        for (let slot = 0; slot < count; slot++) {
          const place = cell.start + (option.slots[slot] ?? 0);
          const off = offTo(onset, place);
          const forced = isHome ? slot === Math.min(near, isLast ? count - 1 : count) : at > home && slot === 0;
          if (Math.abs(off) > reach && !forced) continue;
          cells.push(at);
          slots.push(slot);
          positions.push(cell.start + (option.slots[slot] ?? 0));
          offs.push(off * scale);
          subdivision.push(option);
        }
        if (isHome && cell.start + cell.length - onset.lastPlace < reach) spills = true;
      }
    }
  }
  from[onsets.length] = cells.length;
  return {
    from,
    cell: Int32Array.from(cells),
    slot: Int32Array.from(slots),
    position: Int32Array.from(positions),
    offMs: Float64Array.from(offs),
    subdivision,
    subdivisionId: Int32Array.from(subdivision, (option) => option.id),
  };
}

/** A rolled chord may mean its first or its last note. */
function offTo({ place, lastPlace }: Onset, target: number): number {
  const first = place - target;
  const last = lastPlace - target;
  return Math.abs(first) <= Math.abs(last) ? first : last;
}

function nearestPlace(places: readonly number[], place: number): number {
  let best = 0;
  let distance = Infinity;
  for (let index = 0; index < places.length; index++) {
    const away = Math.abs((places[index] ?? 0) - place);
    if (away < distance) {
      distance = away;
      best = index;
    }
  }
  return best;
}
