/** Numbers of the map of entries and exits: a row a span. */
import { barsAsShaped } from '../../../analyse/level/two-scales.ts';
import type { Part, Stage } from '../../../model/music/arrangement.ts';
import type { DataTable, DrawingTable } from '../../../model/drawing.ts';
import type { PresenceSpan, StageReadings } from '../../../model/readings/readings.ts';
import { median } from '../../../model/music/dynamics.ts';
import { tableName, type Front } from '../frame/front.ts';
import { ENTRY_AND_EXIT_WORDS } from '../../../model/readings/terms.ts';
import { dbText } from '../../ruler/wording.ts';

interface LevelledSpan {
  readonly span: PresenceSpan;
  readonly part: Part | undefined;
  /** Median and highest of the bars' estimated levels, dB re 1 pW. */
  readonly medianDb: number | undefined;
  readonly mostDb: number | undefined;
}

/** Spans in score order of their parts, then by bar, with the levels of their bars. */
function levelledSpans(stage: Stage, readings: StageReadings): LevelledSpan[] {
  const byBar = new Map(barsAsShaped(readings).map((bar) => [bar.bar, bar.partsDb] as const));
  const order = new Map(stage.parts.map((part, index) => [part.id, index] as const));
  const parts = new Map(stage.parts.map((part) => [part.id, part] as const));
  return [...readings.presence]
    .sort((a, b) => (order.get(a.partId) ?? 0) - (order.get(b.partId) ?? 0) || a.from - b.from)
    .map((span) => {
      const levels: number[] = [];
      for (let bar = span.from; bar <= span.to; bar++) {
        const db = byBar.get(bar)?.[span.partId];
        if (db !== undefined && Number.isFinite(db)) levels.push(db);
      }
      return {
        span,
        part: parts.get(span.partId),
        medianDb: median(levels),
        mostDb: levels.length === 0 ? undefined : levels.reduce((most, level) => Math.max(most, level)),
      };
    });
}

export function presenceTable(stage: Stage, readings: StageReadings, front: Front): DrawingTable {
  return {
    caption:
      'Every span in which a part sounds without a whole silent bar. Levels are estimates from the MIDI data, in dB re 1 pW.',
    columns: [
      { label: 'Part', numeric: false },
      { label: 'Role', numeric: false },
      { label: 'From bar', numeric: true },
      { label: 'To bar', numeric: true },
      { label: 'Enters', numeric: false },
      { label: 'Leaves', numeric: false },
      { label: 'Median level, dB', numeric: true },
      { label: 'Loudest bar, dB', numeric: true },
    ],
    rows: levelledSpans(stage, readings).map(({ span, part, medianDb, mostDb }) => [
      part === undefined ? span.partId : tableName(part),
      front.isFront(span.partId, span.from) ? 'foreground' : 'background',
      String(span.from),
      String(span.to),
      ENTRY_AND_EXIT_WORDS[span.entry],
      ENTRY_AND_EXIT_WORDS[span.exit],
      dbText(medianDb),
      dbText(mostDb),
    ]),
  };
}

export function presenceData(stage: Stage, readings: StageReadings): DataTable {
  return {
    columns: ['part', 'name', 'from', 'to', 'entry', 'exit', 'firstQuarters', 'lastQuarters', 'medianDb', 'loudestDb'],
    rows: levelledSpans(stage, readings).map(({ span, part, medianDb, mostDb }) => [
      span.partId,
      part?.name ?? '',
      span.from,
      span.to,
      span.entry,
      span.exit,
      span.firstQuarters,
      span.lastQuarters,
      medianDb ?? null,
      mostDb ?? null,
    ]),
  };
}
