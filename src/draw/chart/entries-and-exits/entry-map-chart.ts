/** The map of entries and exits: one band a part in score order, as thick as the part is loud by estimate. */
import type { Part, Stage } from '../../../model/music/arrangement.ts';
import type { ChartDrawing } from '../../../model/drawing.ts';
import type { PacingReading } from '../../../model/readings/pacing.ts';
import type { PresenceSpan, StageReadings } from '../../../model/readings/readings.ts';
import type { PlaceMark } from '../../finding-marks/place-mark.ts';
import { element, round, textElement } from '../../svg.ts';
import { familiesIn, familyClass, hatchId, hatchPatterns } from '../family-colours/families.ts';
import { chartId, framed, scrolling, type ChartOptions, type LinePicture } from '../frame/frame.ts';
import { frontOf, labelOf, type Front } from '../frame/front.ts';
import { drawMarks, type MapRow } from '../frame/marks.ts';
import { drawPacing } from './pacing-strip.ts';
import { drawSpan, piecesOf } from './entry-map-band.ts';
import { levelsByPart, thicknessOf, thicknessScaleOf, type ThicknessScale } from './entry-map-scale.ts';
import { drawSigns, joinSigns, signPaths, type SignPaths } from './entry-map-signs.ts';
import { pacingLegend, presenceLegend } from './entry-map-legend.ts';
import { presenceData, presenceTable } from './entry-map-table.ts';
import { describePresence, soundingAt } from './entries-sentence.ts';
import { GUTTER_WIDTH, rulerOf, spanInLine, type RulerLine } from '../../ruler/ruler.ts';
import { dbText, fitName } from '../../ruler/wording.ts';

const TITLE = 'Entries and exits';

/** Height of the strip that counts the sounding parts. */
const COUNT_HEIGHT = 26;

interface PresencePlan {
  readonly stage: Stage;
  readonly front: Front;
  readonly marks: readonly PlaceMark[];
  /** Marks whose first link is drawn. */
  readonly placed: Set<string>;
  readonly rowHeight: number;
  readonly scale: ThicknessScale;
  readonly spansOf: ReadonlyMap<string, readonly PresenceSpan[]>;
  readonly levelsOf: ReadonlyMap<string, ReadonlyMap<number, number>>;
  readonly soundingAt: (bar: number) => number;
  readonly pacing: PacingReading | undefined;
}

/** Draws who plays when, how loud by estimate, and how each part comes and goes. Nothing is drawn where nobody plays. */
export function drawPresence(stage: Stage, readings: StageReadings, options: ChartOptions = {}): ChartDrawing {
  const front = frontOf(stage);
  const ruler = rulerOf(stage, options.mostBarsInALine);
  const id = chartId(stage, 'entries', options);
  const table = presenceTable(stage, readings, front);
  const csv = presenceData(stage, readings);
  const description = describePresence(stage, readings, front);
  if (readings.presence.length === 0 || ruler.lines.length === 0) {
    return { id, title: TITLE, description, svg: '', legend: [], table, csv };
  }
  const plan = planOf(stage, readings, front, options.marks ?? []);
  const lines = framed({
    stage,
    ruler,
    id,
    title: TITLE,
    description,
    draw: (line, top, prefix) => drawLine(plan, line, top, prefix),
    barText: (bar) => `Bar ${bar}: ${plan.soundingAt(bar)} of ${stage.parts.length} parts sound`,
  });
  return {
    id,
    title: TITLE,
    description,
    svg: scrolling(TITLE, lines),
    legend: [
      ...presenceLegend(stage.parts, readings.presence, front, plan.scale, id),
      ...pacingLegend(readings.pacing),
    ],
    table,
    csv,
  };
}

function planOf(stage: Stage, readings: StageReadings, front: Front, marks: readonly PlaceMark[]): PresencePlan {
  const count = stage.parts.length;
  const rowHeight = count <= 16 ? 24 : count <= 28 ? 20 : 17;
  const spansOf = new Map<string, PresenceSpan[]>();
  for (const span of readings.presence) {
    const known = spansOf.get(span.partId);
    if (known === undefined) spansOf.set(span.partId, [span]);
    else known.push(span);
  }
  return {
    stage,
    front,
    marks,
    placed: new Set(),
    rowHeight,
    scale: thicknessScaleOf(readings, rowHeight - 8),
    spansOf,
    levelsOf: levelsByPart(readings),
    soundingAt: soundingAt(readings),
    pacing: readings.pacing,
  };
}

function drawLine(plan: PresencePlan, line: RulerLine, top: number, id: string): LinePicture {
  const { parts } = plan.stage;
  const first = top + 3;
  let plot = '';
  let gutter = '';
  parts.forEach((part, index) => {
    const y = first + index * plan.rowHeight;
    plot += drawRow(plan, line, part, y, id);
    const isFront = plan.front.spansOf(part.id).length > 0;
    const name = fitName(labelOf(part), isFront ? 86 : 92, 11);
    gutter += textElement(name, {
      class: isFront ? 'label strong end' : 'label end',
      x: GUTTER_WIDTH - 8,
      y: y + plan.rowHeight / 2 + 3.8,
    });
    plot += loudestText(plan, part, line, y + plan.rowHeight / 2 + 3.5);
  });
  plot += textElement('loudest, dB', { class: 'tick faint', x: line.right + 8, y: top - 7 });
  const foot = first + parts.length * plan.rowHeight;
  const rowOf = (partId: string | undefined): MapRow => {
    const index = parts.findIndex((part) => part.id === partId);
    return index < 0
      ? { top: first, foot }
      : { top: first + index * plan.rowHeight, foot: first + (index + 1) * plan.rowHeight };
  };
  const { drawn, links } = drawMarks(plan.marks, line, rowOf, plan.placed);
  plot += drawn;
  const under =
    plan.pacing === undefined
      ? drawCount(plan, line, foot + 6)
      : drawPacing(plan.stage, plan.pacing, line, first, foot + 6);
  return {
    height: foot + 6 + under.height + 4,
    defs: hatchPatterns(id, familiesIn(parts)),
    gutter: gutter + under.gutter,
    plot: plot + under.plot,
    links,
  };
}

function drawRow(plan: PresencePlan, line: RulerLine, part: Part, y: number, id: string): string {
  const middle = y + plan.rowHeight / 2;
  const levels = plan.levelsOf.get(part.id);
  const thickness = (bar: number): number => thicknessOf(plan.scale, levels?.get(bar));
  let behind = '';
  let ahead = '';
  const signs: SignPaths[] = [];
  const half = plan.rowHeight / 2 - 2;
  for (const span of plan.spansOf.get(part.id) ?? []) {
    for (const piece of piecesOf(span, (bar) => plan.front.isFront(part.id, bar))) {
      const drawn = drawSpan(piece, line, middle, thickness);
      if (drawn === undefined) continue;
      if (piece.isFront) ahead += drawn.path;
      else behind += drawn.path;
      if (drawn.startX !== undefined && piece.from === span.from) {
        signs.push(signPaths(span.entry, 'entry', drawn.startX, middle, half));
      }
      if (drawn.endX !== undefined && piece.to === span.to) {
        signs.push(signPaths(span.exit, 'exit', drawn.endX, middle, half));
      }
    }
  }
  const frontSpans = plan.front.spansOf(part.id).flatMap((span) => spanInLine(line, span.from, span.to) ?? []);
  const shade = frontSpans
    .map(
      ({ first, last }) =>
        `M${round(first.x)} ${round(y)}H${round(last.x + last.width)}V${round(y + plan.rowHeight)}H${round(first.x)}z`,
    )
    .join('');
  const rules = frontSpans
    .map(
      ({ first, last }) =>
        `M${round(first.x)} ${round(y)}H${round(last.x + last.width)}M${round(first.x)} ${round(y + plan.rowHeight)}H${round(last.x + last.width)}`,
    )
    .join('');
  const left = round(line.bars[0]?.x ?? 0);
  return element(
    'g',
    { class: `row ${familyClass(part.family)}`, 'data-part': part.id },
    element('path', { class: 'silence', d: `M${left} ${round(middle)}H${round(line.right)}` }) +
      (shade === ''
        ? ''
        : element('path', { class: 'front-row', d: shade }) + element('path', { class: 'front-rule', d: rules })) +
      (behind === '' ? '' : element('path', { class: 'band', fill: `url(#${hatchId(id, part.family)})`, d: behind })) +
      (ahead === '' ? '' : element('path', { class: 'front-solid', d: ahead })) +
      drawSigns(joinSigns(signs)),
  );
}

function loudestText(plan: PresencePlan, part: Part, line: RulerLine, y: number): string {
  const { loudestDb } = plan.scale;
  const levels = [...(plan.levelsOf.get(part.id)?.values() ?? [])];
  if (loudestDb === undefined || levels.length === 0) return '';
  const most = levels.reduce((highest, level) => Math.max(highest, level), Number.NEGATIVE_INFINITY);
  return textElement(dbText(most - loudestDb, 0), { class: 'tick end', x: line.right + 34, y });
}

/** How many parts sound in each bar, as a small area with its greatest number named. */
function drawCount(
  plan: PresencePlan,
  line: RulerLine,
  top: number,
): { readonly plot: string; readonly gutter: string; readonly height: number } {
  const foot = top + COUNT_HEIGHT;
  const all = Math.max(1, plan.stage.parts.length);
  let path = `M${round(line.bars[0]?.x ?? 0)} ${round(foot)}`;
  for (const box of line.bars) {
    path += `V${round(foot - (COUNT_HEIGHT * plan.soundingAt(box.number)) / all)}H${round(box.x + box.width)}`;
  }
  path += `V${round(foot)}z`;
  const left = round(line.bars[0]?.x ?? 0);
  return {
    height: COUNT_HEIGHT,
    plot:
      element('path', { class: 'count', d: path }) +
      element('path', { class: 'ruler', d: `M${left} ${round(foot)}H${round(line.right)}` }) +
      element('path', { class: 'octave', d: `M${left} ${round(top)}H${round(line.right)}` }) +
      textElement(String(all), { class: 'tick faint', x: line.right + 5, y: top + 4 }) +
      textElement('0', { class: 'tick faint', x: line.right + 5, y: foot + 1 }),
    gutter: textElement('parts playing', { class: 'tick end', x: GUTTER_WIDTH - 8, y: (top + foot) / 2 + 3.5 }),
  };
}
