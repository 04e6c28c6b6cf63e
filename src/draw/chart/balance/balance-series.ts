/** The two levels of the balance chart, bar by bar. */
import type { BarBalance, StageReadings } from '../../../model/readings/readings.ts';

/** How the foreground stands to the background in a bar. */
export type Standing = 'clear' | 'close' | 'below' | 'alone' | 'absent';

/** Margin in dB under which the background counts as close. Our convention; the settings may change it. */
export const CLOSE_MARGIN_DB = 3;

export interface BalanceSeries {
  readonly at: (bar: number) => BarBalance | undefined;
  readonly standingOf: (bar: number) => Standing;
  /** The loudest level on either side: 0 on the axis. Undefined where no level is known. */
  readonly loudestDb: number | undefined;
  /** Lowest level drawn. */
  readonly lowestDb: number;
  readonly limitDb: number;
}

function finite(db: number | undefined): number | undefined {
  return db !== undefined && Number.isFinite(db) ? db : undefined;
}

/** Levels further than this under the loudest are drawn at the foot of the chart. */
const DEEPEST_DB = 42;

export function balanceSeriesOf(readings: StageReadings, limitDb: number): BalanceSeries {
  const byBar = new Map(readings.balance.map((bar) => [bar.bar, clean(bar)] as const));
  let loudest = Number.NEGATIVE_INFINITY;
  let lowest = Number.POSITIVE_INFINITY;
  for (const bar of byBar.values()) {
    for (const db of [bar.foregroundDb, bar.backgroundDb]) {
      if (db === undefined) continue;
      loudest = Math.max(loudest, db);
      lowest = Math.min(lowest, db);
    }
  }
  const known = Number.isFinite(loudest);
  return {
    at: (bar) => byBar.get(bar),
    standingOf: (bar) => standingOf(byBar.get(bar), limitDb),
    loudestDb: known ? loudest : undefined,
    lowestDb: known ? Math.max(loudest - DEEPEST_DB, Math.min(lowest, loudest - 12)) : 0,
    limitDb,
  };
}

/** A bar without infinite levels: what is silent has no level. */
function clean(bar: BarBalance): BarBalance {
  const foregroundDb = finite(bar.foregroundDb);
  const backgroundDb = finite(bar.backgroundDb);
  const marginDb = finite(bar.marginDb);
  const maskedShare = finite(bar.maskedShare);
  return {
    bar: bar.bar,
    partsDb: bar.partsDb,
    ...(foregroundDb === undefined ? {} : { foregroundDb }),
    ...(backgroundDb === undefined ? {} : { backgroundDb }),
    ...(marginDb === undefined ? {} : { marginDb }),
    ...(maskedShare === undefined ? {} : { maskedShare }),
  };
}

function standingOf(bar: BarBalance | undefined, limitDb: number): Standing {
  if (bar?.foregroundDb === undefined) return 'absent';
  if (bar.marginDb === undefined) return 'alone';
  if (bar.marginDb < 0) return 'below';
  return bar.marginDb < limitDb ? 'close' : 'clear';
}
