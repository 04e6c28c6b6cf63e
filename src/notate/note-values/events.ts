/** From the segments of a voice (who sounds from when to when in a bar) to events with figures, ties and complete tuplets. */
import type { NoteHead, OrnamentSigns, WrittenEvent } from '../../model/music/written.ts';
import type { SpelledPitch } from '../../model/music/pitch.ts';
import { partStart, splitRun, splitStraight, splitTriplet } from './note-values.ts';
import type { GridBar } from '../score-time/score-time.ts';
import { SHORTEST, groupsOfVoice } from '../score-time/score-time.ts';

export interface HeadDraft {
  readonly midi: number;
  readonly pitch: SpelledPitch;
  readonly partIds: readonly string[];
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

interface Region {
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

function regionsOf(bar: GridBar, places: readonly number[]): Region[] {
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

function headsOf(drafts: readonly HeadDraft[], first: boolean, last: boolean): NoteHead[] {
  return drafts.map((draft) => ({
    pitch: draft.pitch,
    tieFromPrevious: first ? draft.from : true,
    tieToNext: last ? draft.to : true,
    partIds: draft.partIds,
  }));
}

/** The signs of a chord are those of its heads together; what a sign stands for was printed where the note began. */
function signsOf(heads: readonly HeadDraft[], isOne: boolean): OrnamentSigns | undefined {
  const found = heads.flatMap((head) => (head.ornament === undefined || head.from ? [] : [head.ornament]));
  // A dot is true of the whole chord in one figure, or not there.
  const isDotted = isOne && heads.every(({ ornament, from, to }) => ornament?.staccato === true && !from && !to);
  const isBare = found.every(
    ({ graces, sign, roll }) => graces.length === 0 && sign === undefined && roll === undefined,
  );
  if (found.length === 0 || (isBare && !isDotted)) return undefined;
  const sign = found.find((item) => item.sign !== undefined)?.sign;
  const roll = found.find((item) => item.roll !== undefined)?.roll;
  return {
    graces: found.flatMap((item) => item.graces),
    ...(sign === undefined ? {} : { sign }),
    ...(roll === undefined || heads.length < 2 ? {} : { roll }),
    ...(isDotted ? { staccato: true } : {}),
  };
}

/** What the figure over a tuplet counts: sextuplets are six in the time of four, not two triplets under one three (Gould, from memory). */
function ratioOf(region: Region, segments: readonly Segment[]): { readonly actual: number; readonly normal: number } {
  if (region.parts > 3) return { actual: region.parts, normal: 4 };
  const begun = segments.filter(({ from }) => from >= region.from && from < region.to).length;
  return region.to - region.from === QUARTER && begun > 4 ? { actual: 6, normal: 4 } : { actual: 3, normal: 2 };
}

/** Events of a voice in a bar. The segments fill the bar, and their borders can be written (see `snapSegments`). */
export function eventsOf(bar: GridBar, segments: readonly Segment[], nextTupletId: () => number): WrittenEvent[] {
  const regions = regionsOf(
    bar,
    segments.map((segment) => segment.from),
  );
  const groups = groupsOfVoice(
    bar,
    segments.map((segment) => segment.from),
  );
  const ids = new Map<Region, number>();
  const events: WrittenEvent[] = [];
  for (const segment of segments) {
    const isRest = segment.heads.length === 0;
    const pieces: { from: number; to: number; figure: WrittenEvent['figure'] }[] = [];
    for (const region of regions) {
      const from = Math.max(segment.from, region.from);
      const to = Math.min(segment.to, region.to);
      if (from >= to) continue;
      if (region.parts === 1) {
        pieces.push(...splitStraight(bar, from, to, isRest, groups));
        continue;
      }
      let id = ids.get(region);
      if (id === undefined) {
        id = nextTupletId();
        ids.set(region, id);
      }
      const split =
        region.parts === 3
          ? splitTriplet(region.from, (region.to - region.from) / 3, from, to, isRest)
          : splitRun(region.from, region.parts, from, to, isRest);
      const ratio = ratioOf(region, segments);
      for (const piece of split) pieces.push({ ...piece, figure: { ...piece.figure, tuplet: { id, ...ratio } } });
    }
    const signs = signsOf(segment.heads, pieces.length === 1);
    for (const [index, piece] of pieces.entries()) {
      events.push({
        kind: isRest ? 'rest' : 'notes',
        start: bar.start + piece.from,
        length: piece.to - piece.from,
        figure: piece.figure,
        heads: headsOf(segment.heads, index === 0, index === pieces.length - 1),
        ...(signs === undefined || index > 0 ? {} : { ornament: signs }),
      });
    }
  }
  return events;
}
