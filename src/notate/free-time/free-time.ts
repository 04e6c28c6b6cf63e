/**
 * Music that has nothing to do with the bar lines: every onset keeps its place in time. What was struck together, in one part or in several,
 * stands together; nothing is moved to a beat, and no rhythm is made up.
 */
import type { Cluster } from '../score-time/clusters.ts';
import { clusterOnsets } from '../score-time/clusters.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import type { PartGrid } from '../rhythm/quantised-part.ts';
import { hasTwoStaves, stavesOf } from '../voices/hands.ts';
import { NO_ORNAMENTS } from '../ornaments/ornaments.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { cellIndexAtDivision } from '../score-time/score-time.ts';
import type { ClockedPart } from '../swing/swing-clock.ts';

/** Onsets of different players this close are one moment, from the first and from the last of them. */
const WIDEST_MS = 70;
const GAP_MS = 45;
/** Places are kept to about this. */
const STEP_MS = 60;
const STEPS = [15, 30, 60, 120] as const;
/** A key that is up this shortly before the next onset, or for this share of the time, was not meant as a silence. */
const BREATH_SECONDS = 0.25;
const HELD_SHARE = 0.6;
const LEGATO_SECONDS = 0.12;

interface Struck {
  readonly part: number;
  readonly cluster: Cluster;
}

interface Moment {
  readonly struck: readonly Struck[];
  readonly place: number;
}

/** What sounds at once, over all parts, in order. */
function momentsOf(all: readonly Struck[]): Moment[] {
  const sorted = [...all].sort((a, b) => a.cluster.milliseconds - b.cluster.milliseconds);
  const groups: Struck[][] = [];
  for (const item of sorted) {
    const group = groups.at(-1);
    const ms = item.cluster.milliseconds;
    const first = group?.[0]?.cluster.milliseconds ?? -Infinity;
    const last = group?.at(-1)?.cluster.milliseconds ?? -Infinity;
    const joins =
      ms - first < WIDEST_MS && ms - last < GAP_MS && group?.every(({ part }) => part !== item.part) === true;
    if (joins) group.push(item);
    else groups.push([item]);
  }
  return groups.map((struck) => ({
    struck,
    place: struck.reduce((sum, { cluster }) => sum + cluster.place, 0) / struck.length,
  }));
}

/** Finest division that is about `STEP_MS` long where the piece begins. */
function stepOf(time: ScoreTime): number {
  const scale = time.bars[0]?.millisecondsPerDivision ?? 1;
  return STEPS.reduce((best, step) =>
    Math.abs(Math.log((step * scale) / STEP_MS)) < Math.abs(Math.log((best * scale) / STEP_MS)) ? step : best,
  );
}

/** Grids of the parts of a stage in free time; `places` are their played onsets in divisions. */
export function freeGrids(
  parts: readonly ClockedPart[],
  places: readonly (readonly number[])[],
  time: ScoreTime,
): PartGrid[] {
  const struck = parts.flatMap(({ part }, index) =>
    clusterOnsets(
      part,
      places[index] ?? [],
      part.notes.map((_, note) => note),
    ).map((cluster): Struck => ({ part: index, cluster })),
  );
  const onsets = parts.map(({ part }) => part.notes.map(() => 0));
  const step = stepOf(time);
  const last = time.start + Math.floor((time.end - 1 - time.start) / step) * step;
  let before = -Infinity;
  for (const { struck: together, place } of momentsOf(struck)) {
    const exact = time.start + Math.round((place - time.start) / step) * step;
    const written = Math.min(last, Math.max(exact, before + step));
    before = written;
    for (const { part, cluster } of together) {
      for (const note of cluster.notes) (onsets[part] as number[])[note] = written;
    }
  }
  return parts.map(({ part }, index): PartGrid => {
    const own = onsets[index] as number[];
    return {
      onsets: own,
      places: places[index] ?? [],
      staves: hasTwoStaves(part) ? stavesOf(part, own) : part.notes.map(() => 1),
      chosen: [new Map(), new Map()],
      ornaments: NO_ORNAMENTS,
      doubtfulShare: 0,
    };
  });
}

/** Ends of the notes of a part in free time, in divisions: as long as they were held, up to the next onset where they nearly reach it. */
export function freeEnds({ part }: ClockedPart, { onsets, staves }: PartGrid, time: ScoreTime): number[] {
  const step = stepOf(time);
  const byStaff = [1, 2].map((staff) =>
    [...new Set(onsets.filter((_, index) => staves[index] === staff))].sort((a, b) => a - b),
  );
  const nextOf = byStaff.map((list) => new Map(list.map((onset, index) => [onset, list[index + 1]])));
  return part.notes.map((note, index) => {
    const onset = onsets[index] ?? 0;
    const held = (note.endQuarters - note.startQuarters) * DIVISIONS_PER_QUARTER;
    const bar = time.bars[time.cells[cellIndexAtDivision(time, onset)]?.barIndex ?? 0];
    const seconds = (bar?.millisecondsPerDivision ?? 1) / 1000;
    const next = nextOf[(staves[index] ?? 1) - 1]?.get(onset);
    const exact = onset + Math.max(step, Math.round(held / step) * step);
    let end = exact;
    if (next !== undefined) {
      const interval = next - onset;
      const reaches = held >= HELD_SHARE * interval || (interval - held) * seconds <= BREATH_SECONDS;
      if (reaches && (held - interval) * seconds <= LEGATO_SECONDS) end = next;
    }
    return Math.max(onset + step, Math.min(end, time.end));
  });
}
