/** The harmony chart: chord ruler, who sounds which tone of each chord, what is missing, and who has the bass. */
import type { Part, Stage } from '../../../model/music/arrangement.ts';
import type { ChartDrawing } from '../../../model/drawing.ts';
import type { StageReadings } from '../../../model/readings/readings.ts';
import type { WrittenNotes } from '../../../model/music/written.ts';
import { printedSymbol } from '../../../notate/chords/chords.ts';
import { element, round, textElement } from '../../svg.ts';
import { familiesIn, familyClass, hatchId, hatchPatterns } from '../family-colours/families.ts';
import { chartId, framed, scrolling, type ChartOptions, type LinePicture } from '../frame/frame.ts';
import { labelOf } from '../frame/front.ts';
import { rowsOfLabels } from './harmony-labels.ts';
import { harmonyLegend } from './harmony-legend.ts';
import type { HarmonyPlan, Stretch } from './harmony-plan.ts';
import { LANES, harmonyPlanOf } from './harmony-plan.ts';
import { harmonyData, harmonyTable } from './harmony-table.ts';
import { chordAtBar, describeHarmony } from './harmony-words.ts';
import { GUTTER_WIDTH, rulerOf, xInBar, type RulerLine } from '../../ruler/ruler.ts';
import { fitName, fitText } from '../../ruler/wording.ts';

const TITLE = 'Chords, who sounds them, and who has the bass';

const SYMBOL_ROWS = 3;
const SYMBOL_HEIGHT = 12;
const NUMERAL_ROWS = 3;
const NUMERAL_HEIGHT = 11;
const LANE_HEIGHT = 3.4;
const BASS_HEIGHT = 18;
/** A gap between the marks of neighbouring chords. */
const GAP = 0.8;

/** Draws the chords of a stage on the ruler that all its charts share. Nothing is drawn where no chord was found. */
export function drawHarmony(
  stage: Stage,
  written: WrittenNotes,
  readings: StageReadings,
  options: ChartOptions = {},
): ChartDrawing {
  const plan = harmonyPlanOf(stage, written, readings);
  const ruler = rulerOf(stage, options.mostBarsInALine);
  const id = chartId(stage, 'harmony', options);
  const description = describeHarmony(plan);
  const table = harmonyTable(plan, readings);
  const csv = harmonyData(plan, readings);
  if (plan.boxes.length === 0 || ruler.lines.length === 0) {
    return { id, title: TITLE, description, svg: '', legend: [], table, csv };
  }
  const lines = framed({
    stage,
    ruler,
    id,
    title: TITLE,
    description,
    draw: (line, top, prefix) => drawLine(plan, line, top, prefix),
    barText: chordAtBar(plan),
    marks: options.marks ?? [],
  });
  return { id, title: TITLE, description, svg: scrolling(TITLE, lines), legend: harmonyLegend(plan, id), table, csv };
}

/** x of a place in quarters, clamped to the line. */
function xIn(line: RulerLine, quarters: number): number {
  const box = line.bars.findLast((candidate) => candidate.startQuarters <= quarters + 1e-6) ?? line.bars[0];
  return box === undefined ? GUTTER_WIDTH : xInBar(box, quarters);
}

interface Window {
  readonly from: number;
  readonly to: number;
}

function windowOf(line: RulerLine): Window {
  const last = line.bars.at(-1);
  return {
    from: line.bars[0]?.startQuarters ?? 0,
    to: last === undefined ? 0 : last.startQuarters + last.lengthQuarters,
  };
}

function isSeen({ startQuarters, endQuarters }: Stretch, { from, to }: Window): boolean {
  return endQuarters > from + 1e-6 && startQuarters < to - 1e-6;
}

function boxPath(line: RulerLine, stretch: Stretch, y: number, height: number): string {
  const x = xIn(line, stretch.startQuarters) + GAP / 2;
  const right = xIn(line, stretch.endQuarters) - GAP / 2;
  return right <= x ? '' : `M${round(x)} ${round(y)}H${round(right)}v${round(height)}H${round(x)}z`;
}

/** Where the tones of a row stand. */
function footOf(y: number): number {
  return y + LANES * LANE_HEIGHT + 2;
}

function drawLine(plan: HarmonyPlan, line: RulerLine, top: number, id: string): LinePicture {
  const window = windowOf(line);
  const rowHeight = LANES * LANE_HEIGHT + 4;
  const ruler = drawRuler(plan, line, window, top + 2);
  let rows = '';
  let silence = '';
  let gutter = ruler.gutter;
  const first = ruler.foot + 6;
  const left = round(line.bars[0]?.x ?? 0);
  plan.parts.forEach((part, index) => {
    const y = first + index * rowHeight;
    rows += drawPart(plan, part, line, window, y);
    silence += `M${left} ${round(footOf(y) + 1)}H${round(line.right)}`;
    gutter += partLabel(plan, part, y + rowHeight / 2 + 3);
  });
  let plot = ruler.plot + element('path', { class: 'silence', d: silence }) + rows;
  const missingTop = first + plan.parts.length * rowHeight + 4;
  plot += drawMissing(plan, line, window, missingTop);
  gutter += textElement('missing', { class: 'tick end', x: GUTTER_WIDTH - 8, y: missingTop + rowHeight / 2 + 3 });
  const bassTop = missingTop + rowHeight + 6;
  plot += separators(plan, line, window, first, bassTop - 4);
  plot += drawBass(plan, line, window, bassTop, id);
  gutter += textElement('bass', { class: 'label strong end', x: GUTTER_WIDTH - 8, y: bassTop + 12.5 });
  return {
    height: bassTop + BASS_HEIGHT + 6,
    defs: hatchPatterns(id, familiesIn(plan.parts)),
    gutter,
    plot,
  };
}

/** Chord symbols above, numerals below, and a stroke where each chord begins. */
function drawRuler(
  plan: HarmonyPlan,
  line: RulerLine,
  window: Window,
  top: number,
): { readonly plot: string; readonly gutter: string; readonly foot: number } {
  const seen = plan.boxes.filter((box) => isSeen(box, window));
  const symbols = seen.map((box) => ({ x: xIn(line, box.startQuarters), text: printedSymbol(box.chord.symbol) }));
  const numerals = seen.map((box) => ({ x: xIn(line, box.startQuarters), text: box.chord.roman }));
  const middle = top + SYMBOL_ROWS * SYMBOL_HEIGHT + 3;
  const strokes = seen.map((box) => `M${round(xIn(line, box.startQuarters))} ${round(middle - 3)}v6`).join('');
  const above = { top, rows: SYMBOL_ROWS, rowHeight: SYMBOL_HEIGHT, size: 10, className: 'chord-symbol' };
  const below = { top: middle + 3, rows: NUMERAL_ROWS, rowHeight: NUMERAL_HEIGHT, size: 9, className: 'tick faint' };
  const left = round(line.bars[0]?.x ?? 0);
  return {
    plot:
      rowsOfLabels(symbols, line, above).markup +
      element('path', { class: 'ruler', d: `M${left} ${round(middle)}H${round(line.right)}${strokes}` }) +
      rowsOfLabels(
        numerals.filter(({ text }) => text !== ''),
        line,
        below,
      ).markup,
    gutter:
      textElement('chord', { class: 'label strong end', x: GUTTER_WIDTH - 8, y: top + 20 }) +
      textElement('numeral', { class: 'tick end', x: GUTTER_WIDTH - 8, y: middle + 20 }),
    foot: middle + 3 + NUMERAL_ROWS * NUMERAL_HEIGHT,
  };
}

function partLabel(plan: HarmonyPlan, part: Part, y: number): string {
  const isFront = plan.front.spansOf(part.id).length > 0;
  const name = fitName(labelOf(part), isFront ? 86 : 92, 11);
  return textElement(name, { class: isFront ? 'label strong end' : 'label end', x: GUTTER_WIDTH - 8, y });
}

/** The tones that a part sounds, the root lowest. */
function drawPart(plan: HarmonyPlan, part: Part, line: RulerLine, window: Window, y: number): string {
  const lanes = plan.stretchesOf.get(part.id) ?? [];
  const foot = footOf(y);
  const path = lanes
    .flatMap((lane, place) =>
      lane
        .filter((stretch) => isSeen(stretch, window))
        .map((stretch) => boxPath(line, stretch, foot - (place + 1) * LANE_HEIGHT + 0.3, LANE_HEIGHT - 0.6)),
    )
    .join('');
  const isFront = plan.front.spansOf(part.id).length > 0;
  return element(
    'g',
    { class: `row ${familyClass(part.family)}`, 'data-part': part.id },
    path === '' ? '' : element('path', { class: isFront ? 'front-solid' : 'chord-tone', d: path }),
  );
}

/** Tones that nobody sounds, solid, and those that only the parts in front sound, open. */
function drawMissing(plan: HarmonyPlan, line: RulerLine, window: Window, y: number): string {
  const foot = footOf(y);
  const paths = (placesOf: (box: HarmonyPlan['boxes'][number]) => readonly number[]): string =>
    plan.boxes
      .filter((box) => isSeen(box, window))
      .flatMap((box) =>
        placesOf(box).map((place) => boxPath(line, box, foot - (place + 1) * LANE_HEIGHT + 0.5, LANE_HEIGHT - 1)),
      )
      .join('');
  const nobody = paths((box) => box.missing);
  const front = paths((box) => box.onlyInFront);
  const left = round(line.bars[0]?.x ?? 0);
  return (
    element('path', { class: 'octave', d: `M${left} ${round(foot + 1)}H${round(line.right)}` }) +
    (front === '' ? '' : element('path', { class: 'chord-tone-front', d: front })) +
    (nobody === '' ? '' : element('path', { class: 'chord-tone-missing', d: nobody }))
  );
}

/** A gap of paper where each chord begins, through all rows. */
function separators(plan: HarmonyPlan, line: RulerLine, window: Window, top: number, foot: number): string {
  const d = plan.boxes
    .filter((box) => isSeen(box, window))
    .map((box) => `M${round(xIn(line, box.startQuarters))} ${round(top)}V${round(foot)}`)
    .join('');
  return d === '' ? '' : element('path', { class: 'chord-gap', d });
}

/** Who has the bass, and where it passes from one part to another. */
function drawBass(plan: HarmonyPlan, line: RulerLine, window: Window, y: number, id: string): string {
  const partById = new Map(plan.parts.map((part) => [part.id, part]));
  let markup = '';
  let handovers = '';
  for (const stretch of plan.bass.filter((item) => isSeen(item, window))) {
    const owner = partById.get(stretch.partIds[0] ?? '');
    if (owner === undefined) continue;
    const isFront = plan.front.spansOf(owner.id).length > 0;
    const x = xIn(line, stretch.startQuarters);
    const width = xIn(line, stretch.endQuarters) - x;
    const d = boxPath(line, stretch, y, BASS_HEIGHT);
    const fill = isFront ? {} : { fill: `url(#${hatchId(id, owner.family)})` };
    const kind = isFront ? 'chord-bass-front' : 'band';
    markup += element('path', { class: `${kind} ${familyClass(owner.family)}`, d, ...fill });
    const name = stretch.partIds.map((partId) => partById.get(partId)?.abbreviation ?? partId).join(' + ');
    if (width > 18)
      markup += textElement(fitText(name, width - 6, 10), { class: 'chord-owner', x: x + 4, y: y + 12.5 });
    if (stretch.handover && stretch.startQuarters >= window.from - 1e-6)
      handovers += `M${round(x)} ${round(y - 4)}V${round(y + BASS_HEIGHT + 4)}`;
  }
  return markup + (handovers === '' ? '' : element('path', { class: 'chord-handover', d: handovers }));
}
