/** What would bring the margin of a passage up to a limit: computed from the levels of its bars. */
import { median } from '../../../model/music/dynamics.ts';
import type { BarBalance } from '../../../model/readings/readings.ts';

export interface MarginClearance {
  /** Whole decibels that the whole background would have to be softer. */
  readonly softerDb: number;
  /** Most players of the strongest section with whom alone it would do; undefined where one is too many. */
  readonly players?: number;
}

function powerOf(levelDb: number): number {
  return 10 ** (levelDb / 10);
}

/** Median margin where one part plays with a share of its power. */
function marginWith(bars: readonly BarBalance[], partId: string, share: number): number | undefined {
  return median(
    bars.flatMap(({ foregroundDb, backgroundDb, partsDb }) => {
      if (foregroundDb === undefined || backgroundDb === undefined) return [];
      const own = partsDb[partId] === undefined ? 0 : powerOf(partsDb[partId]);
      const rest = powerOf(backgroundDb) - own * (1 - share);
      return rest <= 0 ? Infinity : foregroundDb - 10 * Math.log10(rest);
    }),
  );
}

/**
 * Softer by so much, or the strongest section with fewer players, and the median margin of the bars reaches the limit.
 * Powers of players are taken as equal.
 */
export function marginClearanceOf(
  bars: readonly BarBalance[],
  marginDb: number,
  limitDb: number,
  section: { readonly partId: string; readonly players: number },
): MarginClearance {
  const softerDb = Math.max(1, Math.ceil(limitDb - marginDb - 1e-9));
  for (let players = section.players - 1; players >= 1; players--) {
    const margin = marginWith(bars, section.partId, players / section.players);
    if (margin !== undefined && margin >= limitDb) return { softerDb, players };
  }
  return { softerDb };
}
