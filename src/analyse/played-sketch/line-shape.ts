/** What the controllers of a track do to its level, as few points with straight lines between them. */
import type { Timeline } from '../../model/music/timeline.ts';
import { secondAt } from '../../model/music/timeline.ts';
import type { SketchLine } from '../../sound/sketch.ts';
import type { LevelModel, TrackLevels } from '../level/level-model.ts';
import { levelAtDb, loudnessAt } from '../level/level-model.ts';

type Point = SketchLine['shape'][number];

/** A difference of a decibel is hardly heard; the points stay within less. */
const CLOSE_DB = 0.75;
/** A jump of a controller takes this long. */
const JUMP_SECONDS = 0.03;
/** Where a controller silences a track its level is taken this low, dB re 1 pW. */
const SILENT_DB = 0;
/** Stands for a velocity where only what controllers add is asked. */
export const ANY_VELOCITY = 64;

/** Level of a track at a moment for a middle velocity, without register, dB re 1 pW. */
function trackLevelDb(model: LevelModel, track: TrackLevels, quarters: number): number {
  return Math.max(SILENT_DB, levelAtDb(model, loudnessAt(track, ANY_VELOCITY, quarters), undefined));
}

/** Leaves out every point that lies within `CLOSE_DB` of the line between those that stay (Douglas and Peucker 1973). */
function thinned(points: readonly Point[]): readonly Point[] {
  const keep = new Set([0, points.length - 1]);
  const spans: [number, number][] = [[0, points.length - 1]];
  for (let span = spans.pop(); span !== undefined; span = spans.pop()) {
    const [low, high] = span;
    const [first, last] = [points[low], points[high]];
    if (first === undefined || last === undefined) continue;
    let farthest = 0;
    let at = -1;
    for (let index = low + 1; index < high; index++) {
      const point = points[index];
      if (point === undefined) continue;
      const share = (point.second - first.second) / Math.max(1e-9, last.second - first.second);
      const off = Math.abs(point.db - first.db - (last.db - first.db) * share);
      if (off > farthest) [farthest, at] = [off, index];
    }
    if (farthest <= CLOSE_DB) continue;
    keep.add(at);
    spans.push([low, at], [at, high]);
  }
  return points.filter((_, index) => keep.has(index));
}

export interface LineLevel {
  /** Level of the track for a middle velocity where its shape is 0, dB re 1 pW. */
  readonly referenceDb: number;
  readonly shape: SketchLine['shape'];
}

/** How loud a track is over time, as far as its controllers say so. */
export function lineLevel(model: LevelModel, track: TrackLevels, timeline: Timeline): LineLevel {
  const curves = [track.dynamic, ...track.gains].filter((curve) => curve !== undefined);
  const places = [...new Set(curves.flatMap(({ quarters }) => [...quarters]))].sort((a, b) => a - b);
  let before = trackLevelDb(model, track, (places[0] ?? 0) - 1e-3);
  const levels: Point[] = [];
  for (const place of places) {
    const second = secondAt(timeline, place);
    const db = trackLevelDb(model, track, place);
    const previous = levels.at(-1)?.second ?? Number.NEGATIVE_INFINITY;
    // A setting holds until the next one.
    if (second - JUMP_SECONDS > previous) levels.push({ second: second - JUMP_SECONDS, db: before });
    levels.push({ second, db });
    before = db;
  }
  const kept = thinned(levels);
  const referenceDb = Math.max(before, ...kept.map(({ db }) => db));
  const shape = kept.map(({ second, db }) => ({ second, db: db - referenceDb }));
  return { referenceDb, shape: shape.every(({ db }) => db > -CLOSE_DB) ? [] : shape };
}
