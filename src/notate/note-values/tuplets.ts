/**
 * Which stretches of a bar are written straight, which as a triplet, sextuplet, quintuplet or septuplet, and what is moved so that a bar can be
 * written at all. What was heard as a triplet is decided before (see `rhythm`); here it becomes a figure with its number.
 */
import type { OrnamentSigns } from '../../model/music/written.ts';
import type { SpelledPitch } from '../../model/music/pitch.ts';
import { partStart } from './note-values.ts';
import type { GridBar } from '../score-time/score-time.ts';
import { SHORTEST } from '../score-time/score-time.ts';

export interface HeadDraft {
  readonly midi: number;
  readonly pitch: SpelledPitch;
  readonly partIds: readonly string[];
  /** Keys that sound, where they are not `midi` alone. */
  readonly sounds?: readonly number[];
  /** The note began before this segment, or goes on after it. */
  readonly from: boolean;
  readonly to: boolean;
  readonly ornament?: OrnamentSigns;
}

/** Offsets in the bar; segments of a voice follow one another without gap and fill the bar. No heads: a rest. */
export interface Segment {
  readonly from: number;
  readonly to: number;
  readonly heads: readonly HeadDraft[];
}

/** A stretch of a bar under one figure, or a straight one. */
export interface Region {
  readonly from: number;
  readonly to: number;
  /** Equal parts that the region is divided into where it is no straight stretch: thirds, fifths or sevenths. */
  readonly parts: 1 | 3 | 5 | 7;
}

function isStraight(places: readonly number[], from: number): boolean {
  return places.every((place) => (place - from) % SHORTEST === 0);
}

function isTriplet(places: readonly number[], from: number, length: number): boolean {
  return places.every((place) => (place - from) % (length / 12) === 0);
}

/** Where fifths or sevenths of a quarter begin; sevenths are no whole number of divisions and are rounded. */
function isRun(places: readonly number[], from: number, parts: 5 | 7): boolean {
  return places.every((place) => {
    const part = Math.round(((place - from) * parts) / QUARTER);
    return Math.abs(partStart(part, parts) - (place - from)) < 1;
  });
}

function within(places: readonly number[], from: number, to: number): number[] {
  return places.filter((place) => place > from && place < to);
}

const QUARTER = 480;
const EIGHTH = 240;

/** Regions of one cell; undefined where its places fit neither straight values nor triplets. */
function cellRegions(places: readonly number[], from: number, to: number): Region[] | undefined {
  const length = to - from;
  const inner = within(places, from, to);
  if (isStraight(inner, from)) return [{ from, to, parts: 1 }];
  if (length === QUARTER) {
    const half = from + EIGHTH;
    const isSextuplet = inner.length >= 4 && inner.every((place) => (place - from) % (QUARTER / 6) === 0);
    if (isSextuplet) return [{ from, to, parts: 3 }];
    if (!inner.includes(half) && isTriplet(inner, from, QUARTER) && !crossesOnlySixteenthTriplets(inner, from)) {
      return [{ from, to, parts: 3 }];
    }
    const halves = both(cellRegions(places, from, half), cellRegions(places, half, to));
    if (halves !== undefined) return halves;
    const parts = ([5, 7] as const).find((count) => isRun(inner, from, count));
    return parts === undefined ? undefined : [{ from, to, parts }];
  }
  if (length === EIGHTH) return isTriplet(inner, from, EIGHTH) ? [{ from, to, parts: 3 }] : undefined;
  if (length > EIGHTH) {
    return both(cellRegions(places, from, from + EIGHTH), cellRegions(places, from + EIGHTH, to));
  }
  return undefined;
}

/** Places of one half of a beat only, in sixths of the beat: a triplet of sixteenths in that half reads better than one of eighths. */
function crossesOnlySixteenthTriplets(inner: readonly number[], from: number): boolean {
  if (inner.every((place) => (place - from) % (QUARTER / 3) === 0)) return false;
  const first = inner.every((place) => place - from < EIGHTH);
  const second = inner.every((place) => place - from > EIGHTH);
  return (first || second) && inner.every((place) => (place - from) % (QUARTER / 6) === 0);
}

function both(a: Region[] | undefined, b: Region[] | undefined): Region[] | undefined {
  return a === undefined || b === undefined ? undefined : [...a, ...b];
}

/** Whether the borders of segments in a bar can be written together with straight values and triplets. */
export function canBeWritten(bar: GridBar, places: readonly number[]): boolean {
  return bar.cells.every((cell) => {
    const from = cell.start - bar.start;
    return cellRegions(places, from, from + cell.length) !== undefined;
  });
}

/** Regions of a bar, one after another without gap, in which its places can be written. */
export function regionsOf(bar: GridBar, places: readonly number[]): Region[] {
  const regions: Region[] = [];
  const push = (region: Region): void => {
    const last = regions.at(-1);
    if (last?.parts === 1 && region.parts === 1) {
      regions[regions.length - 1] = { from: last.from, to: region.to, parts: 1 };
    } else regions.push(region);
  };
  for (let index = 0; index < bar.cells.length; index++) {
    const cell = bar.cells[index];
    if (cell === undefined) break;
    const from = cell.start - bar.start;
    const next = bar.cells[index + 1];
    // Quarter triplets: three in the time of a half, where a half may stand.
    if (cell.length === QUARTER && next?.length === QUARTER && from % (2 * QUARTER) === 0) {
      const inner = within(places, from, from + 2 * QUARTER);
      if (
        inner.some((place) => (place - from) % SHORTEST !== 0) &&
        inner.every((place) => (place - from) % 320 === 0)
      ) {
        push({ from, to: from + 2 * QUARTER, parts: 3 });
        index++;
        continue;
      }
    }
    for (const region of cellRegions(places, from, from + cell.length) ?? [
      { from, to: from + cell.length, parts: 1 },
    ]) {
      push(region);
    }
  }
  return regions;
}

/** Moves the borders of a bar onto places that can be written, cell by eighth; segments that vanish are returned as lost. */
export function snapSegments(
  bar: GridBar,
  segments: readonly Segment[],
): { readonly segments: readonly Segment[]; readonly lost: readonly Segment[] } {
  const places = segments.map((segment) => segment.from);
  if (canBeWritten(bar, places)) return { segments, lost: [] };
  const moved = new Map<number, number>();
  for (const cell of bar.cells) {
    const start = cell.start - bar.start;
    const inCell = places.filter((place) => place >= start && place < start + cell.length);
    if (cellRegions(inCell, start, start + cell.length) !== undefined) continue;
    for (let from = start; from < start + cell.length; from += EIGHTH) {
      const to = Math.min(from + EIGHTH, start + cell.length);
      const inner = places.filter((place) => place > from && place < to);
      const grids = to - from === EIGHTH ? [60, 80] : [SHORTEST];
      const tries = grids.map((grid) => {
        const targets = inner.map((place) => Math.min(to, from + Math.round((place - from) / grid) * grid));
        const error = targets.reduce((sum, target, index) => sum + Math.abs(target - (inner[index] ?? 0)), 0);
        const distinct = new Set(targets).size;
        return { targets, cost: error + 200 * (targets.length - distinct) };
      });
      const best = tries.reduce((least, item) => (item.cost < least.cost ? item : least));
      for (const [index, place] of inner.entries()) moved.set(place, best.targets[index] ?? place);
    }
  }
  const at = (place: number): number => moved.get(place) ?? place;
  const kept: Segment[] = [];
  const lost: Segment[] = [];
  for (const segment of segments) {
    const from = at(segment.from);
    const to = at(segment.to);
    if (to > from) kept.push({ ...segment, from, to });
    else if (segment.heads.length > 0) lost.push(segment);
  }
  return { segments: kept, lost };
}

/** What the figure over a tuplet counts: sextuplets are six in the time of four, not two triplets under one three (Gould, from memory). */
export function ratioOf(
  region: Region,
  segments: readonly Segment[],
): { readonly actual: number; readonly normal: number } {
  if (region.parts > 3) return { actual: region.parts, normal: 4 };
  const begun = segments.filter(({ from }) => from >= region.from && from < region.to).length;
  return region.to - region.from === QUARTER && begun > 4 ? { actual: 6, normal: 4 } : { actual: 3, normal: 2 };
}
