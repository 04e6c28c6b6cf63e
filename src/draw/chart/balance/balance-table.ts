/** Numbers of the balance chart: a row a bar. */
import { judgedBalance } from '../../../analyse/level/measured/judged-balance.ts';
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

/** What recordings of the parts say, in columns of their own: by what the bar is judged, the sides, and each group of parts with its files. */
function measuredData(readings: StageReadings): DataTable {
  const { measured } = readings;
  if (measured === undefined) return { columns: [], rows: [] };
  const judged = judgedBalance(readings);
  return {
    columns: [
      'judgedBy',
      'measuredForegroundLufs',
      'measuredBackgroundLufs',
      'measuredMarginDb',
      'measuredMaskedShare',
      ...measured.groups.map(({ partIds, files }) => `${partIds.join(' + ')} LUFS on ${files.join(' + ')}`),
    ],
    rows: measured.bars.map((bar, index) => [
      judged[index]?.isMeasured === true ? 'measured' : 'estimated',
      orNull(bar.foregroundDb),
      orNull(bar.backgroundDb),
      orNull(bar.marginDb),
      orNull(bar.maskedShare),
      ...bar.groupsDb.map(orNull),
    ]),
  };
}

/** The same with the level of every part, unrounded, and beside it what was measured where there is a recording. */
export function balanceData(stage: Stage, readings: StageReadings): DataTable {
  const measured = measuredData(readings);
  return {
    columns: [
      'bar',
      'foregroundDb',
      'backgroundDb',
      'marginDb',
      'maskedShare',
      'audibleShare',
      ...stage.parts.map((part) => part.id),
      ...measured.columns,
    ],
    rows: readings.balance.map((bar, index) => [
      bar.bar,
      orNull(bar.foregroundDb),
      orNull(bar.backgroundDb),
      orNull(bar.marginDb),
      orNull(bar.maskedShare),
      orNull(bar.audibleShare),
      ...stage.parts.map((part) => orNull(bar.partsDb[part.id])),
      ...(measured.rows[index] ?? []),
    ]),
  };
}
