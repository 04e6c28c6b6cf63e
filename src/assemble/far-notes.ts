/**
 * Notes that stand far from the music: a slip of the hand in the sequencer puts one at bar 3336, and every picture and table would then
 * show 3300 empty bars. They are set aside and named; music that is really in two places stays, with a remark on the bars between.
 */
import { barIndexAt } from '../model/timeline.ts';
import type { BarGrid } from './bars.ts';
import type { PlacedNote } from './group-parts.ts';

/** No piece waits for so many bars, some eight minutes at a walking pace, until the next note begins (common practice, no source). */
export const FAR_BARS = 200;
/** More notes than two hands strike in a bar or two are music, wherever they stand. */
const MOST_STRAY = 16;
/** The music has at least so many times the notes of what is far from it. */
const TIMES_THE_NOTES = 4;

/** Bars in which no note of any part begins, by number. */
export interface Gap {
  readonly from: number;
  readonly to: number;
}

export interface FarNotes {
  /** The notes of each track that stay, in the order of the tracks. */
  readonly near: readonly (readonly PlacedNote[])[];
  /** For each track the numbers of the bars of the notes that were set aside. */
  readonly farBars: readonly (readonly number[])[];
  /** For each track how many notes were held over a gap and end with the last bar before it instead. */
  readonly cut: readonly number[];
  /** First and last bar of the music. */
  readonly music: Gap;
  /** Between, and before, the notes that stay. */
  readonly gaps: readonly Gap[];
}

/** Number of the bar at a file position; beyond the last bar of the grid counted on by its length. */
function barNumberAt(grid: BarGrid, position: number): number {
  const { bars } = grid.timeline;
  const quarters = position - grid.originQuarters;
  const last = bars.at(-1);
  if (last !== undefined && quarters >= grid.endQuarters)
    return last.number + 1 + Math.floor((quarters - grid.endQuarters) / last.lengthQuarters + 1e-6);
  return bars[barIndexAt(bars, quarters)]?.number ?? 1;
}

interface Cluster {
  /** File positions of the first and last onset, in quarter notes, and their bars. */
  readonly from: number;
  readonly to: number;
  readonly firstBar: number;
  readonly lastBar: number;
  readonly count: number;
}

/** Onsets in groups with at least `FAR_BARS` bars between them. */
function clustersOf(starts: Float64Array, grid: BarGrid): readonly Cluster[] {
  const clusters: Cluster[] = [];
  let first = 0;
  let firstBar = barNumberAt(grid, starts[0] ?? 0);
  let lastBar = firstBar;
  for (let index = 1; index <= starts.length; index++) {
    const next = starts[index];
    const nextBar = next === undefined ? Number.POSITIVE_INFINITY : barNumberAt(grid, next);
    if (nextBar - lastBar > FAR_BARS) {
      clusters.push({ from: starts[first] ?? 0, to: starts[index - 1] ?? 0, firstBar, lastBar, count: index - first });
      first = index;
      firstBar = nextBar;
    }
    lastBar = nextBar;
  }
  return clusters;
}

/** End of the bar that holds a file position, as a file position. */
function barEndAfter(grid: BarGrid, position: number): number {
  const bar = grid.timeline.bars[barIndexAt(grid.timeline.bars, position - grid.originQuarters)];
  return bar === undefined ? position + 4 : bar.startQuarters + bar.lengthQuarters + grid.originQuarters;
}

/** Sets aside what stands far from the music; `grid` holds the bars of all notes, as far as bars are made. */
export function setFarNotesAside(tracks: readonly (readonly PlacedNote[])[], grid: BarGrid): FarNotes {
  const starts = Float64Array.from(tracks.flatMap((notes) => notes.map((note) => note.startQuarters))).sort();
  const clusters = clustersOf(starts, grid);
  const main = clusters.reduce<Cluster | undefined>(
    (most, one) => (most === undefined || one.count > most.count ? one : most),
    undefined,
  );
  const music = { from: main?.firstBar ?? 1, to: main?.lastBar ?? 1 };
  const isStray = ({ count }: Cluster): boolean => count <= MOST_STRAY && count * TIMES_THE_NOTES <= (main?.count ?? 0);
  const strays = clusters.filter(isStray);
  const kept = clusters.filter((cluster) => !isStray(cluster));
  const none = { farBars: tracks.map(() => []), cut: tracks.map(() => 0), music };
  const gaps = kept.flatMap((cluster, index): Gap[] => {
    const before = kept[index - 1]?.lastBar ?? 0;
    return cluster.firstBar - before > FAR_BARS ? [{ from: before + 1, to: cluster.firstBar - 1 }] : [];
  });
  // Music beyond the last bar that is made cannot be kept for the sake of what stands before it.
  if (music.from > (grid.timeline.bars.at(-1)?.number ?? 0)) return { near: tracks, ...none, gaps: [] };
  // Where a note that is held on must end: with the bar in which the last note before a gap begins.
  const limits = kept.map(({ from, to, lastBar }) => ({ from, to, lastBar, end: barEndAfter(grid, to) }));
  const isFar = (start: number): boolean => strays.some(({ from, to }) => start >= from && start <= to);
  const farBars: number[][] = [];
  const cut: number[] = [];
  const near = tracks.map((notes) => {
    const far: number[] = [];
    let shortened = 0;
    const own = notes.flatMap((note): PlacedNote[] => {
      if (isFar(note.startQuarters)) {
        far.push(barNumberAt(grid, note.startQuarters));
        return [];
      }
      const limit = limits.findLast(({ from }) => from <= note.startQuarters);
      if (limit === undefined || note.endQuarters <= limit.end) return [note];
      if (barNumberAt(grid, note.endQuarters) - limit.lastBar <= FAR_BARS) return [note];
      shortened++;
      return [{ ...note, endQuarters: Math.max(limit.end, note.startQuarters + 1) }];
    });
    farBars.push(far);
    cut.push(shortened);
    return far.length === 0 && shortened === 0 ? notes : own;
  });
  return { near, farBars, cut, music, gaps };
}
