/** All charts of a stage, on one bar ruler. */
import type { Stage } from '../../model/music/arrangement.ts';
import type { ChartDrawing } from '../../model/drawing.ts';
import type { StageReadings } from '../../model/readings/readings.ts';
import type { PlaceMark } from '../finding-marks/place-mark.ts';
import { drawBalance } from './balance/balance-chart.ts';
import { drawPresence } from './entries-and-exits/entry-map-chart.ts';
import { drawRegister } from './register/register-chart.ts';

/** Rule whose limit, a margin in dB, the balance chart shades by where the settings raise it above nothing. */
const CLOSE_RULE = 'background-as-loud';

/**
 * Register chart, map of entries and exits, balance chart, in this order; their ids begin with `register`, `entries` and
 * `balance`. All of them show the marks, the numbers of findings and notes, as links.
 */
export function drawCharts(
  stage: Stage,
  readings: StageReadings,
  marks: readonly PlaceMark[] = [],
  limits: Readonly<Record<string, number>> = {},
): readonly ChartDrawing[] {
  const closeMarginDb = limits[CLOSE_RULE];
  return [
    drawRegister(stage, readings, { marks }),
    drawPresence(stage, readings, { marks }),
    drawBalance(stage, readings, {
      marks,
      ...(closeMarginDb !== undefined && closeMarginDb > 0 ? { closeMarginDb } : {}),
    }),
  ];
}
