/** A strip for one step from stage to stage: who plays where, and what is new, changed or gone, on a ruler that all steps share. */
import type { Stage } from '../../../model/music/arrangement.ts';
import type { ChartDrawing, LegendEntry } from '../../../model/drawing.ts';
import type { StageChange } from '../../../model/readings/readings.ts';
import { numbersIn } from '../../../model/words/plain-words.ts';
import { element, idPart, round, textElement } from '../../svg.ts';
import { cellLegend, drawCells, ROW_HEIGHT } from './changes-cells.ts';
import {
  columnsOf,
  newBars,
  rowsOf,
  tableRows,
  type StripColumns,
  type StripRow,
  type StripStage,
} from './changes-rows.ts';
import { describe } from './changes-sentence.ts';
import { familiesIn, familyClass, hatchId, hatchPatterns } from '../family-colours/families.ts';
import { framed, legendSign, scrolling, type LinePicture } from '../frame/frame.ts';
import { labelOf } from '../frame/front.ts';
import { GUTTER_WIDTH, rulerOf, type BarBox, type Ruler, type RulerLine } from '../../ruler/ruler.ts';
import { fitName } from '../../ruler/wording.ts';

interface Strip {
  readonly rows: readonly StripRow[];
  readonly inserted: ReadonlySet<number>;
  readonly cut: ReadonlySet<number>;
  readonly moved: ReadonlySet<number>;
  /** The columns that another stage has and this one has not. */
  readonly hasGaps: boolean;
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
  const title = 'Changes by part and bar';
  const id = `change-${idPart(after.stage.id)}`;
  const { ruler, boxes } = rulerFor(after.stage, common);
  const strip: Strip = {
    rows: rowsOf(before, after, change, common),
    inserted: columnsOf(common, change.after, newBars(change)),
    cut: columnsOf(common, change.before, change.barOrder.cut),
    moved: columnsOf(
      common,
      change.after,
      change.barOrder.moved.flatMap(({ after: from, count }) => numbersIn({ from, to: from + count - 1 })),
    ),
    hasGaps: hasGaps(after.stage, common),
    boxes,
  };
  const description = describe(change, before, after);
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

/** True where columns of other stages stand between those of a stage. */
function hasGaps(stage: Stage, common: StripColumns): boolean {
  const own = [
    ...columnsOf(
      common,
      stage.id,
      stage.timeline.bars.map(({ number }) => number),
    ),
  ].sort((a, b) => a - b);
  return own.some((column, index) => index > 0 && column !== (own[index - 1] ?? 0) + 1);
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

/** Columns that came in this step are shaded and bracketed, those that moved bracketed in dashes, those that went struck out. */
function columnShades(strip: Strip, inLine: ColumnBoxes, top: number, foot: number): string {
  let fresh = '';
  let bracket = '';
  let moved = '';
  let gone = '';
  for (const [column, { x, width }] of inLine) {
    if (strip.inserted.has(column)) {
      fresh += `M${round(x)} ${top}h${round(width)}V${round(foot)}h${round(-width)}z`;
      bracket += `M${round(x)} ${top + 1}h${round(width)}`;
    }
    if (strip.moved.has(column)) moved += `M${round(x)} ${top + 1}h${round(width)}`;
    if (strip.cut.has(column)) {
      gone += `M${round(x + 1)} ${top}h${round(width - 2)}V${round(foot)}h${round(2 - width)}zM${round(x + 1)} ${round(foot)}L${round(x + width - 1)} ${top}`;
    }
  }
  return (
    (fresh === ''
      ? ''
      : element('path', { class: 'front-row', d: fresh }) + element('path', { class: 'strip-bracket', d: bracket })) +
    (moved === '' ? '' : element('path', { class: 'strip-bracket strip-moved', d: moved })) +
    (gone === '' ? '' : element('path', { class: 'strip-gone', d: gone }))
  );
}

function legendOf(strip: Strip, id: string): LegendEntry[] {
  const kinds = new Set(
    strip.rows.flatMap((row) => row.cells.flatMap((cell) => (cell.columns.size === 0 ? [] : [cell.kind]))),
  );
  const family = strip.rows.find((row) =>
    row.cells.some(({ kind, columns }) => columns.size > 0 && (kind === 'new' || kind === 'extended')),
  )?.part.family;
  const shown = family ?? 'strings';
  const prefix = `${id}-key`;
  const entries = cellLegend(kinds, hatchId(prefix, shown), hatchPatterns(prefix, [shown]), familyClass(shown));
  const column = (d: string, name: string): string => legendSign(element('path', { class: name, d }));
  return [
    ...entries,
    ...(strip.inserted.size === 0
      ? []
      : [{ sign: column('M2 2h24v14h-24z', 'front-row'), text: 'Bars that are new in this step' }]),
    ...(strip.moved.size === 0
      ? []
      : [{ sign: column('M2 9h24', 'strip-bracket strip-moved'), text: 'Bars that stood elsewhere before this step' }]),
    ...(strip.hasGaps
      ? [{ sign: '', text: 'Gaps are bars of other stages: a bar stands at the same place in all pictures' }]
      : []),
    ...(strip.cut.size === 0
      ? []
      : [{ sign: column('M2 2h24v14h-24zM2 16L26 2', 'strip-gone'), text: 'Bars that were cut in this step' }]),
  ];
}
