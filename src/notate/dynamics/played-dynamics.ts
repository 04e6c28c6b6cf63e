/** How loud a layer of the score was played, beat by beat, on the scale of dynamic marks. */
import type { Part, TrackRecord } from '../../model/music/arrangement.ts';
import type { PreparedCurve } from '../../model/music/controller-curve.ts';
import { prepareCurve, settingAt } from '../../model/music/controller-curve.ts';
import { controllerGainDb, median } from '../../model/music/dynamics.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import type { WrittenNote, WrittenPart } from '../../model/music/written.ts';
import type { GridBar, ScoreTime } from '../score-time/score-time.ts';
import { cellIndexAtDivision } from '../score-time/score-time.ts';

/**
 * Velocity or controller setting of `pp`, and the distance from mark to mark: pp 33, p 49, mp 65, mf 81, f 97, ff 113. Common practice, no
 * source; MusicXML 4.0 (attribute `dynamics` of `sound`) takes 90 for a forte, which is nearest to f here.
 */
const PIANISSIMO = 33;
const SETTING_STEP = 16;
/** Expression beside the dynamic: so many dB are one mark. Common practice, no source. */
const DB_STEP = 6;
const MOST_GAIN_STEPS = 2;
/** A layer whose settings differ by less than this was not shaped. */
const LEAST_SPREAD = 4;

const DYNAMIC_CONTROLLER = { cc1: 1, cc2: 2, cc11: 11 } as const;
const EXPRESSION = 11;

interface TrackDynamics {
  readonly dynamic: PreparedCurve | undefined;
  readonly expression: PreparedCurve | undefined;
}

function curveOf(track: TrackRecord, controller: number): PreparedCurve | undefined {
  const curve = track.curves.find((candidate) => candidate.controller === controller && candidate.points.length > 0);
  return curve === undefined ? undefined : prepareCurve(curve);
}

/** What shapes the notes of each track; a plucked note cannot be shaped after its start. */
function tracksOf(part: Part): TrackDynamics[] {
  return part.tracks.map((track): TrackDynamics => {
    const isStruck = part.dynamics === 'velocity' || /\bpizz/.test(track.articulation);
    const controller = part.dynamics === 'velocity' || isStruck ? undefined : DYNAMIC_CONTROLLER[part.dynamics];
    return {
      dynamic: controller === undefined ? undefined : curveOf(track, controller),
      expression: controller === EXPRESSION ? undefined : curveOf(track, EXPRESSION),
    };
  });
}

interface Reading {
  /** 0..127: velocity, or the setting of the controller that shapes the notes. */
  readonly setting: number;
  readonly gainDb: number;
}

function quartersAtDivision(bar: GridBar, division: number): number {
  return bar.startQuarters + (division - bar.start) / DIVISIONS_PER_QUARTER;
}

/** Readings of a part by cell; undefined where it is silent. A struck note counts until the next one starts. */
function readingsOf(part: Part, notes: readonly WrittenNote[], time: ScoreTime): (Reading | undefined)[] {
  const tracks = tracksOf(part);
  const sums = time.cells.map(() => ({ setting: 0, gain: 0, weight: 0, fresh: false }));
  for (const note of notes) {
    const played = part.notes[note.played];
    const track = played === undefined ? undefined : tracks[played.trackIndex];
    if (played === undefined || track === undefined) continue;
    const first = cellIndexAtDivision(time, note.start);
    const end = note.start + note.length;
    for (let index = first; index < time.cells.length; index++) {
      const cell = time.cells[index];
      const sum = sums[index];
      if (cell === undefined || sum === undefined || cell.start >= end) break;
      const bar = time.bars[cell.barIndex];
      if (bar === undefined) break;
      // A held note of a keyboard says nothing new; a struck one in the same beat does.
      const fresh = index === first;
      if (track.dynamic === undefined && sum.fresh && !fresh) continue;
      if (track.dynamic === undefined && fresh && !sum.fresh)
        Object.assign(sum, { setting: 0, gain: 0, weight: 0, fresh });
      const from = Math.max(note.start, cell.start);
      const middle = quartersAtDivision(bar, (from + Math.min(end, cell.start + cell.length)) / 2);
      const gainDb = track.expression === undefined ? 0 : controllerGainDb(settingAt(track.expression, middle));
      sum.setting += track.dynamic === undefined ? played.velocity : settingAt(track.dynamic, middle);
      sum.gain += Math.max(-60, gainDb);
      sum.weight += 1;
    }
  }
  return sums.map(({ setting, gain, weight }) =>
    weight === 0 ? undefined : { setting: setting / weight, gainDb: gain / weight },
  );
}

/** The part's readings as marks: 0 is pp, 5 is ff; expression counts as far as it moves away from what it mostly is. */
function marksOf(readings: readonly (Reading | undefined)[]): (number | undefined)[] {
  const usual = median(readings.flatMap((reading) => (reading === undefined ? [] : [reading.gainDb]))) ?? 0;
  return readings.map((reading) => {
    if (reading === undefined) return undefined;
    const moved = (reading.gainDb - usual) / DB_STEP;
    const gain = Math.max(-MOST_GAIN_STEPS, Math.min(MOST_GAIN_STEPS, moved));
    return (reading.setting - PIANISSIMO) / SETTING_STEP + gain;
  });
}

/** One part of a layer, and which of its notes speak for it. */
export interface LayerPart {
  readonly part: Part;
  readonly written: WrittenPart | undefined;
  /** Whether a note counts; the tune of a keyboard speaks for both hands. */
  readonly counts: (note: WrittenNote) => boolean;
}

/**
 * Loudness of a layer by cell of the score's time: 0 is pp, 1 a mark more, undefined where the layer is silent; the median of its parts.
 * Empty where nothing shapes it (all settings alike).
 */
export function layerDynamics(parts: readonly LayerPart[], time: ScoreTime): (number | undefined)[] {
  const readings = parts.map(({ part, written, counts }) =>
    readingsOf(part, (written?.notes ?? []).filter(counts), time),
  );
  const settings = readings.flat().flatMap((reading) => (reading === undefined ? [] : [reading.setting]));
  const gains = readings.flat().flatMap((reading) => (reading === undefined ? [] : [reading.gainDb]));
  const spread = (numbers: readonly number[]): number =>
    numbers.reduce((most, number) => Math.max(most, number), -Infinity) -
    numbers.reduce((least, number) => Math.min(least, number), Infinity);
  if (spread(settings) < LEAST_SPREAD && spread(gains) < DB_STEP / 2) return [];
  const marks = readings.map(marksOf);
  return time.cells.map((_, index) => median(marks.flatMap((own) => (own[index] === undefined ? [] : [own[index]]))));
}
