/**
 * The whole piece as one picture: sections, findings, who is louder, one band a part, the clock. One strip however long the piece is,
 * drawn twice, for a page and for a telephone, so that both are fitted to their width and a style sheet chooses.
 */
import { basisText, toldBalance } from '../../../analyse/level/measured/judged-balance.ts';
import type { Part, Stage } from '../../../model/music/arrangement.ts';
import type { ChartDrawing } from '../../../model/drawing.ts';
import { barsText, counted, minutesText } from '../../../model/words/plain-words.ts';
import type { Finding, StageReadings } from '../../../model/readings/readings.ts';
import { quartersAt } from '../../../model/music/timeline.ts';
import { element, escapeXml, round, textElement } from '../../svg.ts';
import { familyClass } from '../family-colours/families.ts';
import { chartId, type ChartOptions } from '../frame/frame.ts';
import { frontOf, labelOf, type Front } from '../frame/front.ts';
import {
  levelsByPart,
  thicknessOf,
  thicknessScaleOf,
  type ThicknessScale,
} from '../entries-and-exits/entry-map-scale.ts';
import { boxOf, rulerOf, xInBar, type RulerLine } from '../../ruler/ruler.ts';
import { findingLane } from './whole-piece-findings.ts';
import { edgesOf, pieceLine, type PieceLine, type PieceSize } from './whole-piece-line.ts';
import { fitName, fitText } from '../../ruler/wording.ts';

const TITLE = 'The whole piece';

const SIZES: readonly PieceSize[] = [
  { name: 'wide', width: 1000, gutter: 132, numberGap: 34, mostClockMarks: 10, reach: 24 },
  { name: 'narrow', width: 380, gutter: 58, numberGap: 30, mostClockMarks: 4, reach: 27 },
];

const TOP = 36;
/** Printed half as large as drawn, letters are 6 points high on a sheet of A4. */
const FONT = 12;
/** How much wider bold letters are (from memory). */
const BOLD_WIDER = 1.1;
const BALANCE_UP = 26;
const BALANCE_DOWN = 14;
/** Margins beyond these are drawn as these, in dB: the picture tells which side is louder, the balance chart by how much. */
const MOST_OVER_DB = 20;
const MOST_UNDER_DB = 10;
const CLOCK_HEIGHT = 20;
/** Levels of a band's thickness: few, so that neighbouring bars join. */
const STEPS = 5;

/** Height of a part's row: all of sixty parts still fit on a screen. */
function rowHeightOf(partCount: number): number {
  return Math.max(6, Math.min(14, Math.floor(264 / Math.max(1, partCount))));
}

function sectionsOf(stage: Stage, place: PieceLine, foot: number): string {
  const sections = [...stage.sections].sort((a, b) => a.from - b.from);
  return sections
    .map((section, index) => {
      const edges = edgesOf(place, section.from, section.to);
      if (edges === undefined) return '';
      const next = edgesOf(place, sections[index + 1]?.from ?? Number.NaN, Infinity)?.[0] ?? place.right;
      const room = next - edges[0] - 6;
      const name =
        sections.length < 2 || room < 10
          ? ''
          : textElement(fitText(section.name, room, FONT), { class: 'section-name', x: edges[0] + 4, y: 11 });
      const top = sections.length < 2 ? TOP : 2;
      return element('path', { class: 'section-line', d: `M${round(edges[0])} ${String(top)}V${round(foot)}` }) + name;
    })
    .join('');
}

/** Bar numbers, each a link to its bar, at round numbers as close as there is room. */
function numbersOf(place: PieceLine, size: PieceSize): string {
  const { bars } = place.line;
  const { reach } = size;
  const usual = (place.right - place.left) / Math.max(1, bars.length);
  const step = [1, 2, 4, 5, 8, 10, 20, 25, 50, 100, 200].find((bar) => bar * usual >= size.numberGap) ?? 500;
  const chosen = bars.filter((box, index) => box.number % step === 0 || (index === 0 && step > 1));
  let freeFrom = -Infinity;
  return chosen
    .map((box) => {
      const x = place.x(box.x);
      // The last one would be cut off at the edge.
      const isCut = x + 2 + 7 * String(box.number).length > size.width;
      if (x < freeFrom || isCut) return '';
      freeFrom = x + size.numberGap * 0.7;
      return (
        element('path', { class: 'piece-tick', d: `M${round(x)} ${TOP - 4}v4` }) +
        element(
          'a',
          { href: `#bar-${box.number}`, 'aria-label': `Bar ${box.number}` },
          element('rect', { class: 'reach', x: round(x), y: TOP - reach, width: reach, height: reach }) +
            textElement(String(box.number), { class: 'tick', x: x + 2, y: TOP - 5 }),
        )
      );
    })
    .join('');
}

/** Who is louder: the foreground above the line, the background below it; pale where the foreground is alone. */
function balanceOf(stage: Stage, readings: StageReadings, place: PieceLine, top: number): string {
  const zero = top + BALANCE_UP;
  let over = '';
  let under = '';
  let alone = '';
  for (const bar of toldBalance(stage, readings)) {
    const box = boxOf(place.line, bar.bar);
    if (box === undefined) continue;
    const [left, right] = [place.x(box.x), place.x(box.x + box.width)];
    const column = (height: number): string =>
      `M${round(left)} ${round(zero)}V${round(zero - height)}H${round(right)}V${round(zero)}z`;
    if (bar.marginDb === undefined) {
      if (bar.foregroundDb !== undefined) alone += column(BALANCE_UP);
    } else if (bar.marginDb >= 0) {
      over += column(Math.max(1, (BALANCE_UP * Math.min(MOST_OVER_DB, bar.marginDb)) / MOST_OVER_DB));
    } else {
      under += column(-Math.max(2, (BALANCE_DOWN * Math.min(MOST_UNDER_DB, -bar.marginDb)) / MOST_UNDER_DB));
    }
  }
  const area = (name: string, d: string): string => (d === '' ? '' : element('path', { class: name, d }));
  return (
    area('piece-alone', alone) +
    area('piece-over', over) +
    area('piece-under', under) +
    element('path', { class: 'ruler', d: `M${round(place.left)} ${round(zero)}H${round(place.right)}` })
  );
}

interface Bands {
  readonly scale: ThicknessScale;
  readonly levelsOf: ReadonlyMap<string, ReadonlyMap<number, number>>;
  readonly soundsIn: ReadonlyMap<string, ReadonlySet<number>>;
  readonly front: Front;
}

function bandsOf(stage: Stage, readings: StageReadings, rowHeight: number): Bands {
  const soundsIn = new Map<string, Set<number>>();
  for (const span of readings.presence) {
    const bars = soundsIn.get(span.partId) ?? new Set<number>();
    for (let bar = span.from; bar <= span.to; bar++) bars.add(bar);
    soundsIn.set(span.partId, bars);
  }
  return {
    scale: thicknessScaleOf(readings, rowHeight - 2),
    levelsOf: levelsByPart(readings),
    soundsIn,
    front: frontOf(stage),
  };
}

/** One part: bars of like thickness are one piece, what leads is ink. */
function bandOf(part: Part, bands: Bands, place: PieceLine, middle: number): string {
  const paths = { front: '', back: '' };
  const { scale } = bands;
  const stepOf = (bar: number): number =>
    Math.max(1, Math.round((STEPS * thicknessOf(scale, bands.levelsOf.get(part.id)?.get(bar))) / scale.most));
  let open: { readonly from: number; to: number; readonly step: number; readonly isFront: boolean } | undefined;
  const close = (): void => {
    if (open === undefined) return;
    const edges = edgesOf(place, open.from, open.to);
    const half = (open.step * scale.most) / STEPS / 2;
    if (edges !== undefined)
      paths[open.isFront ? 'front' : 'back'] +=
        `M${round(edges[0])} ${round(middle - half)}H${round(edges[1])}V${round(middle + half)}H${round(edges[0])}z`;
    open = undefined;
  };
  const sounds = bands.soundsIn.get(part.id);
  for (const { number } of place.line.bars) {
    if (sounds?.has(number) !== true) {
      close();
      continue;
    }
    const isFront = bands.front.isFront(part.id, number);
    const step = stepOf(number);
    if (open?.step === step && open.isFront === isFront) open.to = number;
    else {
      close();
      open = { from: number, to: number, step, isFront };
    }
  }
  close();
  return element(
    'g',
    { class: `piece-row ${familyClass(part.family)}` },
    element('path', { class: 'piece-silence', d: `M${round(place.left)} ${round(middle)}H${round(place.right)}` }) +
      (paths.back === '' ? '' : element('path', { class: 'piece-band', d: paths.back })) +
      (paths.front === '' ? '' : element('path', { class: 'piece-front', d: paths.front })),
  );
}

function clockOf(stage: Stage, place: PieceLine, size: PieceSize, y: number): string {
  const steps = [5, 10, 15, 30, 60, 120, 300, 600, 1200];
  const step = steps.find((seconds) => stage.seconds / seconds <= size.mostClockMarks) ?? 3600;
  const { bars } = place.line;
  let markup = '';
  for (let second = 0; second <= stage.seconds; second += step) {
    const quarters = quartersAt(stage.timeline, second);
    const box = bars.findLast((candidate) => candidate.startQuarters <= quarters + 1e-6) ?? bars[0];
    if (box === undefined) break;
    const x = place.x(xInBar(box, quarters));
    if (x > place.right - 20 && second > 0) break;
    markup += element('path', { class: 'piece-tick', d: `M${round(x)} ${round(y)}v4` });
    markup += textElement(minutesText(second), { class: 'tick faint', x: x + 2, y: y + 12 });
  }
  return markup;
}

function gutterText(text: string, size: PieceSize, y: number, strong = false): string {
  return textElement(text, { class: strong ? 'label strong end' : 'label end', x: size.gutter - 7, y });
}

function pictureOf(
  stage: Stage,
  readings: StageReadings,
  findings: readonly Finding[],
  size: PieceSize,
  line: RulerLine,
  id: string,
  description: string,
): string {
  const place = pieceLine(line, size);
  const lane = findingLane(findings, place, TOP + 4, size.reach);
  const hasBalance = toldBalance(stage, readings).some(({ foregroundDb }) => foregroundDb !== undefined);
  const balanceTop = TOP + 8 + lane.height;
  const first = balanceTop + (hasBalance ? BALANCE_UP + BALANCE_DOWN + 6 : 2);
  const rowHeight = rowHeightOf(stage.parts.length);
  const foot = first + stage.parts.length * rowHeight;
  const bands = bandsOf(stage, readings, rowHeight);
  const narrow = size.name === 'narrow';
  let rows = '';
  stage.parts.forEach((part, index) => {
    const middle = first + (index + 0.5) * rowHeight;
    const isFront = bands.front.parts.includes(part);
    rows += bandOf(part, bands, place, middle);
    // Rows too low for names bear one for each family.
    const isNamed = rowHeight >= 11 || part.family !== stage.parts[index - 1]?.family || isFront;
    const label = narrow && part.abbreviation !== '' ? part.abbreviation : labelOf(part);
    const font = isFront ? BOLD_WIDER * FONT : FONT;
    if (isNamed) rows += gutterText(fitName(label, size.gutter - 10, font), size, middle + 4, isFront);
  });
  // Without names of sections there is no lane for them.
  const head = stage.sections.length < 2 ? TOP - size.reach : 0;
  const zero = balanceTop + BALANCE_UP;
  const sides = narrow ? ['over', 'under'] : ['foreground louder', 'background louder'];
  const title = element('title', { id: `${id}-title` }, TITLE);
  return element(
    'svg',
    {
      class: `piece-picture piece-${size.name}`,
      viewBox: `0 ${head} ${size.width} ${round(foot + CLOCK_HEIGHT - head)}`,
      role: 'group',
      'aria-labelledby': `${id}-title ${id}-desc`,
      focusable: 'false',
    },
    title +
      element('desc', { id: `${id}-desc` }, escapeXml(description)) +
      sectionsOf(stage, place, foot) +
      gutterText('bar', size, TOP - 5) +
      numbersOf(place, size) +
      element('path', { class: 'ruler', d: `M${round(place.left)} ${TOP}H${round(place.right)}` }) +
      (lane.markup === '' ? '' : gutterText('findings', size, TOP + 15) + lane.markup) +
      (hasBalance
        ? gutterText(sides[0] ?? '', size, zero - 8) +
          gutterText(sides[1] ?? '', size, zero + 11) +
          balanceOf(stage, readings, place, balanceTop)
        : '') +
      rows +
      gutterText('time', size, foot + 14) +
      clockOf(stage, place, size, foot + 2),
  );
}

/** What the picture shows about this piece, in one sentence. */
function descriptionOf(stage: Stage, readings: StageReadings, findings: readonly Finding[]): string {
  const judged = toldBalance(stage, readings);
  const louder = judged.flatMap(({ bar, marginDb }) => (marginDb !== undefined && marginDb < 0 ? [bar] : []));
  const known = judged.filter(({ marginDb }) => marginDb !== undefined);
  const who =
    known.length === 0
      ? ''
      : louder.length === 0
        ? '; the foreground is louder than the background throughout'
        : `; the background is louder than the foreground in ${barsText(louder)}`;
  return `${TITLE}: ${counted(stage.timeline.bars.length, 'bar')}, ${counted(stage.parts.length, 'part')}, ${counted(findings.length, 'finding')}${who} (${basisText(known)}). A band is as thick as its part is loud, in ink where the part has the foreground.`;
}

/**
 * Draws the whole piece as one picture; nothing where there are no bars. Findings are numbered from 1 in the order given, accepted ones
 * left out. Links lead to `#bar-N` and `#finding-N` of the same page.
 */
export function drawWholePiece(
  stage: Stage,
  readings: StageReadings,
  findings: readonly Finding[] = [],
  options: ChartOptions = {},
): ChartDrawing {
  const id = chartId(stage, 'piece', options);
  const open = findings.filter(({ accepted }) => accepted === undefined);
  const description = descriptionOf(stage, readings, open);
  const line = rulerOf(stage, stage.timeline.bars.length).lines[0];
  const svg =
    line === undefined || stage.parts.length === 0
      ? ''
      : SIZES.map((size) => pictureOf(stage, readings, findings, size, line, `${id}-${size.name}`, description)).join(
          '',
        );
  return {
    id,
    title: TITLE,
    description,
    svg,
    legend: [],
    table: { caption: TITLE, columns: [], rows: [] },
    csv: { columns: [], rows: [] },
  };
}
