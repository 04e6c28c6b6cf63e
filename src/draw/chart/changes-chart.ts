/** A strip for one step from stage to stage: who plays where, and what is new, changed or gone, on a ruler that all steps share. */
import type { Part, Stage } from '../../model/arrangement.ts';
import type { ChartDrawing, LegendEntry } from '../../model/drawing.ts';
import { barsText } from '../../model/plain-words.ts';
import type { PartEdit, StageChange, StageReadings } from '../../model/readings.ts';
import type { Bar } from '../../model/timeline.ts';
import { element, idPart, round, textElement } from '../svg.ts';
import { cellLegend, drawCells, editText, ROW_HEIGHT, type CellKind } from './changes-cells.ts';
import { familiesIn, familyClass, hatchId, hatchPatterns } from './family.ts';
import { framed, legendSign, scrolling, type LinePicture } from './frame.ts';
import { labelOf, tableName } from './front.ts';
import { GUTTER_WIDTH, rulerOf, type BarBox, type Ruler, type RulerLine } from './ruler.ts';
import { fitName } from './wording.ts';

/** Larger ensembles show only the parts that something was done to. */
const MOST_UNTOUCHED_PARTS = 24;

/** A stage with what the strip needs of it. */
export interface StripStage {
  readonly stage: Stage;
  readonly readings: StageReadings;
}

/** Columns of the common ruler and where the bars of each stage stand among them. */
export interface StripColumns {
  readonly columns: readonly Bar[];
  readonly columnOf: (stageId: string, bar: number) => number | undefined;
}

interface StripRow {
  readonly part: Part;
  /** What there is to see, by column; later kinds lie above earlier ones. */
  readonly cells: readonly { readonly kind: CellKind; readonly columns: ReadonlySet<number>; readonly up: boolean }[];
  readonly isTouched: boolean;
}

interface Strip {
  readonly rows: readonly StripRow[];
  readonly inserted: ReadonlySet<number>;
  readonly cut: ReadonlySet<number>;
  /** The columns of each line of the ruler, by index of the line, also those that the stage does not have. */
  readonly boxes: readonly ColumnBoxes[];
}

type ColumnBoxes = readonly (readonly [column: number, box: BarBox])[];

/** Draws what one step did to each part. Nothing is drawn where neither stage has a part. */
export function drawChange(
  before: StripStage,
  after: StripStage,
  change: StageChange,
  common: StripColumns,
): ChartDrawing {
  const title = 'What was done where';
  const id = `change-${idPart(after.stage.id)}`;
  const { ruler, boxes } = rulerFor(after.stage, common);
  const strip: Strip = {
    rows: rowsOf(before, after, change, common),
    inserted: columnsOf(common, change.after, [...change.barOrder.inserted, ...change.barOrder.appended]),
    cut: columnsOf(common, change.before, change.barOrder.cut),
    boxes,
  };
  const description = describe(change, strip.rows);
  const table = {
    caption: 'What was done to each part',
    columns: ['Part', 'What', 'Bars'].map((label) => ({ label, numeric: false })),
    rows: tableRows(before, after, change),
  };
  const csv = { columns: ['part', 'what', 'bars'], rows: table.rows };
  if (strip.rows.length === 0 || ruler.lines.length === 0) {
    return { id, title, description, svg: '', legend: [], table, csv };
  }
  const lines = framed({
    stage: after.stage,
    ruler,
    id,
    title: `${title}: ${after.stage.title}`,
    description,
    draw: (line, top, prefix) => drawLine(strip, line, top, prefix),
    barText: (bar) => `Bar ${bar}`,
  });
  return { id, title, description, svg: scrolling(title, lines), legend: legendOf(strip, id), table, csv };
}

/** The common ruler with the numbers of one stage; columns that it does not have leave a gap. */
function rulerFor(stage: Stage, common: StripColumns): { ruler: Ruler; boxes: readonly ColumnBoxes[] } {
  const whole = rulerOf({ ...stage, timeline: { ...stage.timeline, bars: common.columns } });
  const first = common.columns[0]?.number ?? 1;
  const boxes = whole.lines.map((line) => line.bars.map((box) => [box.number - first, box] as const));
  const barAt = new Map(stage.timeline.bars.map((bar) => [common.columnOf(stage.id, bar.number), bar] as const));
  const lines = whole.lines.flatMap((line): RulerLine[] => {
    const bars = line.bars.flatMap((box): BarBox[] => {
      const bar = barAt.get(box.number - first);
      if (bar === undefined) return [];
      const { number, startQuarters, lengthQuarters, meter } = bar;
      return [{ number, startQuarters, lengthQuarters, meter, x: box.x, width: box.width }];
    });
    const [start] = bars;
    return start === undefined
      ? []
      : [{ ...line, bars, firstBar: start.number, lastBar: bars.at(-1)?.number ?? start.number }];
  });
  return { ruler: { lines, barCount: stage.timeline.bars.length }, boxes };
}

function columnsOf(common: StripColumns, stageId: string, bars: Iterable<number>): ReadonlySet<number> {
  return new Set([...bars].flatMap((bar) => common.columnOf(stageId, bar) ?? []));
}

function soundingBars({ readings }: StripStage, partId: string): number[] {
  return readings.presence.flatMap((span) =>
    span.partId === partId ? Array.from({ length: span.to - span.from + 1 }, (_, index) => span.from + index) : [],
  );
}

function rowsOf(before: StripStage, after: StripStage, change: StageChange, common: StripColumns): StripRow[] {
  const { removed, added } = change.parts;
  const cell = (kind: CellKind, side: StripStage, bars: Iterable<number>, up = false): StripRow['cells'][number] => ({
    kind,
    columns: columnsOf(common, side.stage.id, bars),
    up,
  });
  const own = (edit: PartEdit): StripRow['cells'][number] =>
    cell(edit.kind, after, edit.bars, (edit.semitones ?? edit.db ?? 0) > 0);
  const there = after.stage.parts.map((part): StripRow => {
    const edits = change.edits.filter((edit) => edit.partId === part.id);
    const isTouched = added.includes(part.id) || edits.some((edit) => edit.kind !== 'timing');
    const sounding = cell(added.includes(part.id) ? 'new' : 'same', after, soundingBars(after, part.id));
    return { part, cells: [sounding, ...edits.map(own)], isTouched };
  });
  const gone = before.stage.parts
    .filter((part) => removed.includes(part.id))
    .map((part): StripRow => ({ part, cells: [cell('gone', before, soundingBars(before, part.id))], isTouched: true }));
  const rows = [...there, ...gone];
  return rows.length > MOST_UNTOUCHED_PARTS ? rows.filter((row) => row.isTouched) : rows;
}

function rowTitle(row: StripRow): string {
  return fitName(labelOf(row.part), row.isTouched ? 86 : 92, 11);
}

function drawLine(strip: Strip, line: RulerLine, top: number, id: string): LinePicture {
  const first = top + 4;
  const foot = first + strip.rows.length * ROW_HEIGHT;
  const left = line.bars[0]?.x ?? 0;
  const inLine = strip.boxes[line.index] ?? [];
  let plot = columnShades(strip, inLine, top, foot);
  let gutter = '';
  strip.rows.forEach((row, index) => {
    const y = first + index * ROW_HEIGHT;
    const rule = element('path', {
      class: 'silence',
      d: `M${round(left)} ${round(y + ROW_HEIGHT)}H${round(line.right)}`,
    });
    const cells = row.cells.map(({ kind, columns, up }) => {
      const boxes = inLine.flatMap(([column, box]) => (columns.has(column) ? [box] : []));
      return drawCells(kind, up, boxes, y, hatchId(id, row.part.family));
    });
    const { family, id: partId } = row.part;
    plot += element('g', { class: `row ${familyClass(family)}`, 'data-part': partId }, rule + cells.join(''));
    gutter += textElement(rowTitle(row), {
      class: row.isTouched ? 'label strong end' : 'label faint end',
      x: GUTTER_WIDTH - 8,
      y: y + ROW_HEIGHT / 2 + 3.8,
    });
  });
  return { height: foot + 5, defs: hatchPatterns(id, familiesIn(strip.rows.map((row) => row.part))), gutter, plot };
}

/** Columns that came in this step are shaded and bracketed, those that went are struck out. */
function columnShades(strip: Strip, inLine: ColumnBoxes, top: number, foot: number): string {
  let fresh = '';
  let bracket = '';
  let gone = '';
  for (const [column, { x, width }] of inLine) {
    if (strip.inserted.has(column)) {
      fresh += `M${round(x)} ${top}h${round(width)}V${round(foot)}h${round(-width)}z`;
      bracket += `M${round(x)} ${top + 1}h${round(width)}`;
    }
    if (strip.cut.has(column)) {
      gone += `M${round(x + 1)} ${top}h${round(width - 2)}V${round(foot)}h${round(2 - width)}zM${round(x + 1)} ${round(foot)}L${round(x + width - 1)} ${top}`;
    }
  }
  return (
    (fresh === ''
      ? ''
      : element('path', { class: 'front-row', d: fresh }) + element('path', { class: 'strip-bracket', d: bracket })) +
    (gone === '' ? '' : element('path', { class: 'strip-gone', d: gone }))
  );
}

/** True where something was done that leaves every bar the music it had: order, names, pitch of the whole, tempo, timing. */
function hasOtherChanges({ parts, barOrder, semitones, tempo, edits }: StageChange): boolean {
  const { added, removed, renamed, split, joined } = parts;
  const lists: readonly (readonly unknown[])[] = [added, removed, renamed, split, joined, tempo, edits];
  return (
    semitones !== 0 || barOrder.cut.length > 0 || barOrder.moved.length > 0 || lists.some((list) => list.length > 0)
  );
}

function describe(change: StageChange, rows: readonly StripRow[]): string {
  const touched = rows.filter((row) => row.isTouched).length;
  if (change.bars.length === 0) {
    if (touched > 0)
      return `Something was done to ${touched} of ${rows.length} parts, in no bar that both stages have.`;
    return hasOtherChanges(change)
      ? 'Every bar has the music that it had; what was done to it is told below.'
      : 'Nothing in the music differs.';
  }
  const bars = barsText(change.bars, 6);
  if (touched === 0) return `What was done in ${bars} concerns all parts together.`;
  return `Something was done to ${touched} of ${rows.length} parts, in ${bars}.`;
}

function tableRows(before: StripStage, after: StripStage, change: StageChange): string[][] {
  const row = (part: Part, what: string, bars: readonly number[]): string[] => [
    tableName(part),
    what,
    barsText(bars, 12),
  ];
  const there = after.stage.parts.flatMap((part) => {
    const edits = change.edits.filter((edit) => edit.partId === part.id);
    const isNew = change.parts.added.includes(part.id);
    return [
      ...(isNew ? [row(part, 'new', soundingBars(after, part.id))] : []),
      ...edits.map((edit) => row(part, editText(edit), edit.bars)),
    ];
  });
  const gone = before.stage.parts.filter((part) => change.parts.removed.includes(part.id));
  return [...there, ...gone.map((part) => row(part, 'gone', soundingBars(before, part.id)))];
}

function legendOf(strip: Strip, id: string): LegendEntry[] {
  const kinds = new Set(
    strip.rows.flatMap((row) => row.cells.flatMap((cell) => (cell.columns.size === 0 ? [] : [cell.kind]))),
  );
  const family = strip.rows.find((row) => row.cells.some(({ kind }) => kind === 'new' || kind === 'extended'))?.part
    .family;
  const shown = family ?? 'strings';
  const prefix = `${id}-key`;
  const entries = cellLegend(kinds, hatchId(prefix, shown), hatchPatterns(prefix, [shown]), familyClass(shown));
  const column = (d: string, name: string): string => legendSign(element('path', { class: name, d }));
  return [
    ...entries,
    ...(strip.inserted.size === 0
      ? []
      : [{ sign: column('M2 2h24v14h-24z', 'front-row'), text: 'Bars that are new in this step' }]),
    ...(strip.cut.size === 0
      ? []
      : [{ sign: column('M2 2h24v14h-24zM2 16L26 2', 'strip-gone'), text: 'Bars that were cut in this step' }]),
  ];
}
