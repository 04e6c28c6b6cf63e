/** Numbers of the balance chart: a row a bar. */
import type { Stage } from '../../../model/music/arrangement.ts';
import type { DataTable, DrawingTable } from '../../../model/drawing.ts';
import { percentText } from '../../../model/words/plain-words.ts';
import type { StageReadings } from '../../../model/readings/readings.ts';
import { dbText } from '../../ruler/wording.ts';

export function balanceTable(readings: StageReadings): DrawingTable {
  return {
    caption:
      'Estimated levels in each bar, median of its beats, in dB re 1 pW; worked out from the MIDI data, not measured.',
    columns: [
      { label: 'Bar', numeric: true },
      { label: 'Foreground, dB', numeric: true },
      { label: 'Background, dB', numeric: true },
      { label: 'Margin, dB', numeric: true },
      { label: 'Masked', numeric: true },
      { label: 'Audible', numeric: true },
    ],
    rows: readings.balance.map((bar) => [
      String(bar.bar),
      dbText(bar.foregroundDb),
      dbText(bar.backgroundDb),
      dbText(bar.marginDb),
      percentText(bar.maskedShare),
      percentText(bar.audibleShare),
    ]),
  };
}

function orNull(number: number | undefined): number | null {
  return number !== undefined && Number.isFinite(number) ? number : null;
}

/** The same with the level of every part, unrounded. */
export function balanceData(stage: Stage, readings: StageReadings): DataTable {
  return {
    columns: [
      'bar',
      'foregroundDb',
      'backgroundDb',
      'marginDb',
      'maskedShare',
      'audibleShare',
      ...stage.parts.map((part) => part.id),
    ],
    rows: readings.balance.map((bar) => [
      bar.bar,
      orNull(bar.foregroundDb),
      orNull(bar.backgroundDb),
      orNull(bar.marginDb),
      orNull(bar.maskedShare),
      orNull(bar.audibleShare),
      ...stage.parts.map((part) => orNull(bar.partsDb[part.id])),
    ]),
  };
}
