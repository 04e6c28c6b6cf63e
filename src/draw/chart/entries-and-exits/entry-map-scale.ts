/** Thickness of a band by estimated level. */
import { barsAsShaped } from '../../../analyse/level/two-scales.ts';
import type { StageReadings } from '../../../model/readings/readings.ts';

export interface ThicknessScale {
  /** Level drawn at full thickness: the loudest bar of any part of the stage; undefined where no level is known. */
  readonly loudestDb: number | undefined;
  /** Level drawn at the least thickness, and everything below it. */
  readonly softestDb: number;
  readonly most: number;
  readonly least: number;
}

/** Narrowest and widest span of levels that the thickness spreads over, in dB: equal parts look equal, one whisper does not flatten all. */
const LEAST_SPAN_DB = 12;
const MOST_SPAN_DB = 36;

/** Share of the full thickness that the softest level gets. */
const LEAST_SHARE = 0.16;

export function thicknessScaleOf(readings: StageReadings, most: number): ThicknessScale {
  let loudest = Number.NEGATIVE_INFINITY;
  let softest = Number.POSITIVE_INFINITY;
  for (const bar of barsAsShaped(readings)) {
    for (const db of Object.values(bar.partsDb)) {
      if (!Number.isFinite(db)) continue;
      loudest = Math.max(loudest, db);
      softest = Math.min(softest, db);
    }
  }
  const least = most * LEAST_SHARE;
  if (!Number.isFinite(loudest)) return { loudestDb: undefined, softestDb: 0, most, least };
  const span = Math.min(MOST_SPAN_DB, Math.max(LEAST_SPAN_DB, loudest - softest));
  return { loudestDb: loudest, softestDb: loudest - span, most, least };
}

/** Thickness in user units, linear in dB between the softest and the loudest level; the least where the level is unknown. */
export function thicknessOf(scale: ThicknessScale, db: number | undefined): number {
  if (db === undefined || !Number.isFinite(db) || scale.loudestDb === undefined) return scale.least;
  const share = (db - scale.softestDb) / (scale.loudestDb - scale.softestDb);
  return scale.least + (scale.most - scale.least) * Math.min(1, Math.max(0, share));
}

/** Estimated level in dB by part and bar, where one is known. */
export function levelsByPart(readings: StageReadings): ReadonlyMap<string, ReadonlyMap<number, number>> {
  const levelsOf = new Map<string, Map<number, number>>();
  for (const bar of barsAsShaped(readings)) {
    for (const [partId, db] of Object.entries(bar.partsDb)) {
      if (!Number.isFinite(db)) continue;
      const levels = levelsOf.get(partId) ?? new Map<number, number>();
      levels.set(bar.bar, db);
      levelsOf.set(partId, levels);
    }
  }
  return levelsOf;
}
