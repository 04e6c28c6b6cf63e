/**
 * Notes that stand far from the music: a slip of the hand in the sequencer puts one at bar 3336, takes that are not meant are moved out of
 * the way, and every picture and table would then show 3300 empty bars. They are set aside and named; where they are music, the
 * setting `bars` says which of it is the piece.
 */
import { barIndexAt } from '../../model/music/timeline.ts';
import type { BarSpan } from '../../read/settings/settings.ts';
import type { BarGrid } from '../clock/bars.ts';
import type { PlacedNote } from './group-parts.ts';

/** No piece waits for so many bars, some eight minutes at a walking pace, until the next note begins (common practice, no source). */
export const FAR_BARS = 200;
/** More notes than two hands strike in a bar or two are music, wherever they stand. */
const MOST_STRAY = 16;
/** The music has at least so many times the notes of what is far from it. */
const TIMES_THE_NOTES = 4;

/** Music far from the rest of it, that was left out. */
export interface MusicApart {
  readonly bars: BarSpan;
  readonly notes: number;
}

export interface FarNotes {
  /** The notes of each track that stay, in the order of the tracks. */
  readonly near: readonly (readonly PlacedNote[])[];
  /** For each track the numbers of the bars of the notes that were taken for slips. */
  readonly farBars: readonly (readonly number[])[];
  /** For each track how many notes were held over a gap and end with the last bar before it instead. */
  readonly cut: readonly number[];
  /** First and last bar of the music that stays. */
  readonly music: BarSpan;
  /** What else is music, and was left out. */
  readonly apart: readonly MusicApart[];
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

/** The notes of the piece in one place, and what else there is. */
interface Places {
  readonly kept: readonly Cluster[];
  readonly strays: readonly Cluster[];
  readonly apart: readonly Cluster[];
}

/** Most notes are the music; of the rest a few are slips. */
function placesOf(clusters: readonly Cluster[]): Places {
  const main = clusters.reduce<Cluster | undefined>(
    (most, one) => (most === undefined || one.count > most.count ? one : most),
    undefined,
  );
  const isStray = ({ count }: Cluster): boolean => count <= MOST_STRAY && count * TIMES_THE_NOTES <= (main?.count ?? 0);
  const others = clusters.filter((cluster) => cluster !== main);
  return {
    kept: main === undefined ? [] : [main],
    strays: others.filter(isStray),
    apart: others.filter((cluster) => !isStray(cluster)),
  };
}

/** Whether a note begins in these bars. */
export function hasNotesIn(tracks: readonly (readonly PlacedNote[])[], grid: BarGrid, bars: BarSpan): boolean {
  const isInside = (bar: number): boolean => bar >= bars.from && bar <= bars.to;
  return tracks.some((notes) => notes.some((note) => isInside(barNumberAt(grid, note.startQuarters))));
}

/**
 * Sets aside what stands far from the music; `grid` holds the bars of all notes, as far as bars are made. `asked`: the bars that the
 * settings name; what begins in them is the music, whatever lies between, and nothing else is.
 */
export function setFarNotesAside(tracks: readonly (readonly PlacedNote[])[], grid: BarGrid, asked?: BarSpan): FarNotes {
  const isAsked = (start: number): boolean => {
    const bar = barNumberAt(grid, start);
    return asked === undefined || (bar >= asked.from && bar <= asked.to);
  };
  const starts = Float64Array.from(tracks.flatMap((notes) => notes.map((note) => note.startQuarters)))
    .filter(isAsked)
    .sort();
  const clusters = clustersOf(starts, grid);
  const { kept, strays, apart } = asked === undefined ? placesOf(clusters) : { kept: clusters, strays: [], apart: [] };
  const music = { from: kept[0]?.firstBar ?? 1, to: kept.at(-1)?.lastBar ?? 1 };
  const none = { farBars: tracks.map(() => []), cut: tracks.map(() => 0), music, apart: [] };
  // Music beyond the last bar that is made cannot be kept for the sake of what stands before it.
  if (music.from > (grid.timeline.bars.at(-1)?.number ?? 0)) return { near: tracks, ...none };
  // Where a note that is held on must end: with the bar in which the last note before a gap begins.
  const limits = kept.map(({ from, to, lastBar }) => ({ from, to, lastBar, end: barEndAfter(grid, to) }));
  const askedLast = grid.timeline.bars.find(({ number }) => number === asked?.to);
  const askedEnd =
    askedLast === undefined
      ? Number.POSITIVE_INFINITY
      : askedLast.startQuarters + askedLast.lengthQuarters + grid.originQuarters;
  const isIn = (places: readonly Cluster[], start: number): boolean =>
    places.some(({ from, to }) => start >= from && start <= to);
  const farBars: number[][] = [];
  const cut: number[] = [];
  const near = tracks.map((notes) => {
    const far: number[] = [];
    let shortened = 0;
    const own = notes.flatMap((whole): PlacedNote[] => {
      const note = whole.endQuarters <= askedEnd ? whole : { ...whole, endQuarters: askedEnd };
      if (isIn(strays, note.startQuarters)) far.push(barNumberAt(grid, note.startQuarters));
      if (!isIn(kept, note.startQuarters)) return [];
      const limit = limits.findLast(({ from }) => from <= note.startQuarters);
      if (limit === undefined || note.endQuarters <= limit.end) return [note];
      if (barNumberAt(grid, note.endQuarters) - limit.lastBar <= FAR_BARS) return [note];
      shortened++;
      return [{ ...note, endQuarters: Math.max(limit.end, note.startQuarters + 1) }];
    });
    farBars.push(far);
    cut.push(shortened);
    return own.length === notes.length && own.every((note, index) => note === notes[index]) ? notes : own;
  });
  return {
    near,
    farBars,
    cut,
    music,
    apart: apart.map(({ firstBar, lastBar, count }) => ({ bars: { from: firstBar, to: lastBar }, notes: count })),
  };
}

/** The grid without the silent bars before a bar, where there are very many: bars keep their numbers, and the first begins at second 0. */
export function withoutLongSilenceBefore(first: number, grid: BarGrid): BarGrid {
  const { bars, tempo } = grid.timeline;
  const skipped = bars.findIndex(({ number }) => number === first);
  const zeroSecond = bars[skipped]?.startSecond;
  if (skipped <= FAR_BARS || zeroSecond === undefined) return grid;
  const moved = <Timed extends { readonly startSecond: number }>(one: Timed): Timed => ({
    ...one,
    startSecond: one.startSecond - zeroSecond,
  });
  return {
    ...grid,
    shortenedBars: grid.shortenedBars.filter((number) => number >= first),
    timeline: { ...grid.timeline, bars: bars.slice(skipped).map(moved), tempo: tempo.map(moved) },
  };
}
