/** What surrounds every chart: the two SVGs of a line, sections, bar numbers, meters, grid and hit areas. */
import type { Stage } from '../../../model/music/arrangement.ts';
import { chartLane } from '../../finding-marks/chart-lane.ts';
import type { PlaceMark } from '../../finding-marks/place-mark.ts';
import { element, escapeXml, idPart, round, textElement } from '../../svg.ts';
import {
  CHART_WIDTH,
  GUTTER_WIDTH,
  PLOT_RIGHT,
  boxOf,
  spanInLine,
  type BarBox,
  type Ruler,
  type RulerLine,
} from '../../ruler/ruler.ts';
import { fitText } from '../../ruler/wording.ts';

export interface ChartOptions {
  /** Start of every id; unique in the page. The stage's id by default. */
  readonly idPrefix?: string;
  readonly mostBarsInALine?: number;
  /** Places of findings and notes; none where absent. */
  readonly marks?: readonly PlaceMark[];
}

/** One line of a chart, drawn by the chart; y counts from the top of the SVG and starts at `headHeight`. */
export interface LinePicture {
  readonly height: number;
  readonly defs: string;
  readonly gutter: string;
  readonly plot: string;
  /** Links over everything else; '' where the chart has none of its own. */
  readonly links?: string;
}

export interface FrameInput {
  readonly stage: Stage;
  readonly ruler: Ruler;
  readonly id: string;
  readonly title: string;
  readonly description: string;
  readonly draw: (line: RulerLine, top: number, idPrefix: string) => LinePicture;
  /** What a bar shows, in words: read out by the page's script when the pointer rests on it. */
  readonly barText: (bar: number) => string;
  /** Flagged in a lane under the ruler; none where absent. */
  readonly marks?: readonly PlaceMark[];
}

/** Id of a chart of a stage, e.g. `register-stage-02-strings`. */
export function chartId(stage: Stage, name: string, options: ChartOptions): string {
  return `${name}-${idPart(options.idPrefix ?? stage.id)}`;
}

function changesMeter(stage: Stage): boolean {
  const first = stage.timeline.bars[0]?.meter;
  return stage.timeline.bars.some(
    ({ meter }) => meter.numerator !== first?.numerator || meter.denominator !== first.denominator,
  );
}

/** Height of the sections, meters and bar numbers: the same in every chart of a stage. */
function headHeight(stage: Stage): number {
  return changesMeter(stage) ? 52 : 34;
}

/** All lines of a chart as markup. */
export function framed(input: FrameInput): string {
  const top = headHeight(input.stage);
  return input.ruler.lines.map((line) => framedLine(input, line, top)).join('');
}

function framedLine(input: FrameInput, line: RulerLine, top: number): string {
  const several = input.ruler.lines.length > 1;
  const id = several ? `${input.id}-${line.index + 1}` : input.id;
  const lane = chartLane(input.marks ?? [], line, top + 2);
  const picture = input.draw(line, top + lane.height, id);
  const links = lane.markup + (picture.links ?? '');
  const height = picture.height;
  const bars = `bars ${line.firstBar} to ${line.lastBar}`;
  const title = several ? `${input.title}, ${bars}` : input.title;
  const description = line.index === 0 ? input.description : `Continued: ${bars}.`;
  const gutter = element(
    'svg',
    {
      class: 'chart-gutter',
      viewBox: `0 0 ${GUTTER_WIDTH} ${round(height)}`,
      'aria-hidden': 'true',
      focusable: 'false',
    },
    textElement('Bar', { class: 'tick end', x: GUTTER_WIDTH - 8, y: top - 7 }) +
      meterInGutter(input.stage, top) +
      (lane.markup === '' ? '' : textElement('findings', { class: 'tick end', x: GUTTER_WIDTH - 8, y: top + 18 })) +
      picture.gutter,
  );
  const plot = element(
    'svg',
    {
      class: 'chart-plot',
      viewBox: `${GUTTER_WIDTH} 0 ${CHART_WIDTH - GUTTER_WIDTH} ${round(height)}`,
      // What holds links is no picture: a picture has nothing inside for those who do not see it (ARIA 1.2, children presentational).
      role: links === '' ? 'img' : 'group',
      'aria-labelledby': `${id}-title ${id}-desc`,
      focusable: 'false',
    },
    element('title', { id: `${id}-title` }, escapeXml(title)) +
      element('desc', { id: `${id}-desc` }, escapeXml(description)) +
      (picture.defs === '' ? '' : element('defs', {}, picture.defs)) +
      element(
        'g',
        { 'aria-hidden': links === '' ? undefined : 'true' },
        grid(input.stage, line, top, height) +
          head(input.stage, line, top) +
          picture.plot +
          hitAreas(line, height, input.barText),
      ) +
      links,
  );
  // How high it is, in hundredths of its width, for a browser that lays it out when it comes into sight.
  const tall = ((100 * height) / CHART_WIDTH).toFixed(2);
  return element('div', { class: 'chart-line', 'data-tall': tall }, gutter + plot);
}

function meterInGutter(stage: Stage, top: number): string {
  const meter = stage.timeline.bars.at(-1)?.meter;
  if (meter === undefined) return '';
  const text = changesMeter(stage) ? 'Meter' : `${meter.numerator}/${meter.denominator}`;
  return textElement(text, {
    class: 'tick faint end',
    x: GUTTER_WIDTH - 8,
    y: changesMeter(stage) ? top - 22 : top - 20,
  });
}

/** Bars whose numbers are printed: section starts, then every 1st, 2nd, 5th, 10th ... bar where there is room. */
function numberedBars(stage: Stage, line: RulerLine): { readonly box: BarBox; readonly strong: boolean }[] {
  const usual = (line.right - (line.bars[0]?.x ?? 0)) / Math.max(1, line.bars.length);
  const step = [1, 2, 5, 10, 20, 50].find((candidate) => candidate * usual >= 30) ?? 100;
  const starts = stage.sections.map((section) => boxOf(line, section.from)).filter((box) => box !== undefined);
  const chosen: { box: BarBox; strong: boolean }[] = [];
  const middle = (box: BarBox): number => box.x + box.width / 2;
  const roomFor = (box: BarBox): boolean => chosen.every((other) => Math.abs(middle(other.box) - middle(box)) >= 18);
  for (const box of starts) if (roomFor(box)) chosen.push({ box, strong: true });
  for (const box of line.bars) {
    if ((box.number % step === 0 || box.number === line.firstBar) && roomFor(box)) chosen.push({ box, strong: false });
  }
  return chosen.sort((a, b) => a.box.x - b.box.x);
}

function grid(stage: Stage, line: RulerLine, top: number, height: number): string {
  const foot = height - 1;
  let light = '';
  for (const { box } of numberedBars(stage, line)) light += `M${round(box.x)} ${top}V${round(foot)}`;
  let strong = '';
  for (const section of stage.sections) {
    const box = boxOf(line, section.from);
    if (box !== undefined) strong += `M${round(box.x)} 2V${round(foot)}`;
  }
  return (
    (light === '' ? '' : element('path', { class: 'grid', d: light })) +
    (strong === '' ? '' : element('path', { class: 'section-line', d: strong })) +
    element('path', {
      class: 'ruler',
      d: `M${round(line.bars[0]?.x ?? 0)} ${top}H${round(line.right)}${ticks(line, top)}`,
    })
  );
}

/** A short stroke on the ruler at each bar line, a longer one at every fifth bar. */
function ticks(line: RulerLine, top: number): string {
  const strokes = line.bars.map((box) => `M${round(box.x)} ${top}v${box.number % 5 === 0 ? -5 : -3}`);
  return `${strokes.join('')}M${round(line.right)} ${top}v-3`;
}

function head(stage: Stage, line: RulerLine, top: number): string {
  let markup = '';
  const sections = [...stage.sections].sort((a, b) => a.from - b.from);
  sections.forEach((section, index) => {
    const span = spanInLine(line, section.from, section.to);
    if (span === undefined) return;
    const nextStart = boxOf(line, sections[index + 1]?.from ?? Number.NaN)?.x;
    const last = index === sections.length - 1 || nextStart === undefined;
    const room = (last ? Math.max(line.right, PLOT_RIGHT - 20) : nextStart) - span.first.x - 6;
    const continued = section.from < line.firstBar ? `(${section.name})` : section.name;
    if (room > 8)
      markup += textElement(fitText(continued, room, 11), { class: 'section-name', x: span.first.x + 4, y: 11 });
  });
  for (const { box, strong } of numberedBars(stage, line)) {
    markup += textElement(String(box.number), {
      class: strong ? 'tick strong middle' : 'tick middle',
      x: box.x + box.width / 2,
      y: top - 7,
    });
  }
  return markup + meters(stage, line, top);
}

function meters(stage: Stage, line: RulerLine, top: number): string {
  if (!changesMeter(stage)) return '';
  let markup = '';
  let freeFrom = 0;
  line.bars.forEach((box, index) => {
    const before = line.bars[index - 1]?.meter;
    if (before?.numerator === box.meter.numerator && before.denominator === box.meter.denominator) return;
    const x = Math.max(box.x + 3, freeFrom);
    if (x > box.x + box.width) return;
    // Numerator over denominator, as music has it: it is also the narrowest way.
    const { numerator, denominator } = box.meter;
    markup += textElement(String(numerator), { class: 'meter', x, y: top - 27 });
    markup += textElement(String(denominator), { class: 'meter', x, y: top - 18 });
    freeFrom = x + 7 * String(Math.max(numerator, denominator)).length;
  });
  return markup;
}

function hitAreas(line: RulerLine, height: number, barText: (bar: number) => string): string {
  const rects = line.bars.map((box) =>
    element('rect', {
      'data-bar': String(box.number),
      'data-text': barText(box.number),
      x: round(box.x),
      y: '0',
      width: round(box.width),
      height: round(height),
    }),
  );
  return element('g', { class: 'hit' }, rects.join(''));
}

/** The lines of a chart in a box that may scroll sideways on a narrow screen. */
export function scrolling(title: string, lines: string): string {
  return lines === ''
    ? ''
    : element('div', { class: 'chart-scroll', role: 'group', tabindex: '0', 'aria-label': title }, lines);
}

/** A small sign for the legend. */
export function legendSign(content: string, width = 28, defs = ''): string {
  return element(
    'svg',
    {
      class: 'legend-sign',
      viewBox: `0 0 ${width} 18`,
      width: width,
      height: 18,
      'aria-hidden': 'true',
      focusable: 'false',
    },
    (defs === '' ? '' : element('defs', {}, defs)) + content,
  );
}
