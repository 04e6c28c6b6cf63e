/** Where each played onset may be written: places near it, under every subdivision of the cells around. */
import type { ScoreTime } from '../score-time/score-time.ts';
import { cellIndexAtDivision } from '../score-time/score-time.ts';
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
/** Share of a cell that is half a note of a run of five to seven. */
const RUN_EARLY = 12;

export function millisecondsPerDivision(time: ScoreTime, cellIndex: number): number {
  return time.bars[time.cells[cellIndex]?.barIndex ?? 0]?.millisecondsPerDivision ?? 1;
}

interface Crowd {
  /** Onsets enough, with those close outside, for a group of fast notes. */
  readonly isBusy: boolean;
  /** Onsets that a run of equal notes would have to fill the cell with. */
  readonly inside: number;
}

/** How crowded each cell is. */
function crowds(onsets: readonly Onset[], time: ScoreTime): (cellIndex: number) => Crowd {
  const known = new Map<number, Crowd>();
  let low = 0;
  return (cellIndex) => {
    const before = known.get(cellIndex);
    if (before !== undefined) return before;
    const cell = time.cells[cellIndex];
    const reach = WINDOW_MS / millisecondsPerDivision(time, cellIndex);
    const length = cell?.length ?? 0;
    const start = (cell?.start ?? 0) - reach;
    const end = (cell?.start ?? 0) + length + reach;
    while (low > 0 && (onsets[low]?.place ?? 0) >= start) low--;
    while (low < onsets.length && (onsets[low]?.place ?? 0) < start) low++;
    const third = onsets[low + 2];
    const isBusy = third !== undefined && third.place <= end;
    // The beat may be played early by half of the distance between the notes of a run.
    const early = (cell?.start ?? 0) - length / RUN_EARLY;
    let inside = 0;
    for (let at = low; isBusy && (onsets[at]?.place ?? Infinity) < early + length; at++) {
      if ((onsets[at]?.place ?? 0) >= early) inside++;
    }
    const crowd = { isBusy, inside };
    known.set(cellIndex, crowd);
    return crowd;
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
  const ids: number[] = [];
  const crowdOf = crowds(onsets, time);
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
      const { isBusy, inside } = crowdOf(at);
      for (const option of subdivisionsOf(cell.length)) {
        if (option.fewest > 2 && !isBusy) continue;
        if (option.run !== undefined && inside !== option.run) continue;
        const count = option.slots.length - 1;
        const near = isHome ? nearestPlace(option.slots, onset.place - cell.start) : -1;
        const forcedHere = Math.min(near, isLast ? count - 1 : count);
        if (near === count && !isLast) spills = true;
        for (let slot = 0; slot < count; slot++) {
          const place = cell.start + (option.slots[slot] as number);
          const forced = isHome ? slot === forcedHere : at > home && slot === 0;
          if (!forced && (place < onset.place - reach || place > onset.lastPlace + reach)) continue;
          const off = offTo(onset, place);
          if (!forced && Math.abs(off) > reach) continue;
          cells.push(at);
          slots.push(slot);
          positions.push(place);
          offs.push(off * scale);
          subdivision.push(option);
          ids.push(option.id);
        }
        if (isHome && cell.start + cell.length - onset.lastPlace < reach) spills = true;
      }
    }
  }
  from[onsets.length] = cells.length;
  return {
    from,
    cell: new Int32Array(cells),
    slot: new Int32Array(slots),
    position: new Int32Array(positions),
    offMs: new Float64Array(offs),
    subdivision,
    subdivisionId: new Int32Array(ids),
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
    const away = Math.abs((places[index] as number) - place);
    if (away < distance) {
      distance = away;
      best = index;
    }
  }
  return best;
}
