/** All charts of a stage, on one bar ruler. */
import type { Stage } from '../../model/arrangement.ts';
import type { ChartDrawing, ChartMark } from '../../model/drawing.ts';
import type { Finding, StageReadings } from '../../model/readings.ts';
import { drawBalance } from './balance-chart.ts';
import { drawPresence } from './presence-chart.ts';
import { drawRegister } from './register-chart.ts';

/** Rule whose limit, a margin in dB, the balance chart shades by where the settings raise it above nothing. */
const CLOSE_RULE = 'background-as-loud';

/**
 * Register chart, map of entries and exits, balance chart, in this order; their ids begin with `register`, `entries` and
 * `balance`. The map shows the number of each finding that asks for a change or a look, counted from 1 in the order given.
 */
export function drawCharts(
  stage: Stage,
  readings: StageReadings,
  findings: readonly Finding[] = [],
  limits: Readonly<Record<string, number>> = {},
): readonly ChartDrawing[] {
  const closeMarginDb = limits[CLOSE_RULE];
  return [
    drawRegister(stage, readings),
    drawPresence(stage, readings, { marks: marksOf(findings) }),
    drawBalance(stage, readings, closeMarginDb !== undefined && closeMarginDb > 0 ? { closeMarginDb } : {}),
  ];
}

function marksOf(findings: readonly Finding[]): ChartMark[] {
  return findings.flatMap((finding, index) => {
    if (finding.level === 'note' || finding.accepted !== undefined) return [];
    const { from, to } = finding;
    const partId = finding.partIds[0];
    return [{ from, to, text: String(index + 1), ...(partId === undefined ? {} : { partId }) }];
  });
}
