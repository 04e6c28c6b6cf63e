/** The findings in the picture of the whole piece: numbered marks over their bars, or, where they are many, how many a bar has. */
import { barSpanText } from '../../../model/words/plain-words.ts';
import type { Finding } from '../../../model/readings/readings.ts';
import { lanesOf } from '../../finding-marks/lanes.ts';
import { element, escapeXml, round, textElement } from '../../svg.ts';
import { edgesOf, type PieceLine } from './whole-piece-line.ts';

/** More marks than this would lie on one another. */
const MOST_MARKS = 40;
const BOX_HEIGHT = 15;
const MOST_LANES = 4;
const DENSITY_HEIGHT = 18;

interface Lane {
  readonly markup: string;
  readonly height: number;
}

interface Mark {
  readonly finding: Finding;
  readonly number: number;
  readonly left: number;
  readonly right: number;
}

function markWidth(number: number): number {
  return 9 + 7 * String(number).length;
}

/** Marks by lane. */
function byLane(marks: readonly Mark[], reach: number): readonly (readonly Mark[])[] {
  const places = marks.map(({ left, right }) => ({ left, right: Math.max(right, left + reach) }));
  const lanes: Mark[][] = [];
  lanesOf(places, MOST_LANES).forEach((lane, index) => {
    const mark = marks[index];
    if (mark !== undefined) (lanes[lane] ??= []).push(mark);
  });
  return lanes;
}

function drawMark({ finding, number, left, right }: Mark, top: number, most: number, reach: number): string {
  const width = markWidth(number);
  const x = Math.max(0, Math.min(left, most - width));
  const y = top + (reach - BOX_HEIGHT) / 2;
  const text = `Finding ${number}, ${barSpanText(finding.from, finding.to)}: ${finding.message}`;
  return element(
    'a',
    { href: `#finding-${number}`, class: `piece-mark level-${finding.level}` },
    element('title', {}, escapeXml(text)) +
      element('rect', { class: 'reach', x: round(Math.min(x, most - reach)), y: top, width: reach, height: reach }) +
      element('path', { class: 'piece-span', d: `M${round(left)} ${round(y + BOX_HEIGHT / 2)}H${round(right)}` }) +
      element('rect', { x, y, width, height: BOX_HEIGHT, rx: 2 }) +
      textElement(String(number), { class: 'middle', x: x + width / 2, y: y + 11.7 }),
  );
}

function densityOf(findings: readonly Finding[], place: PieceLine, top: number): string {
  const counts = new Map<number, number>();
  for (const { from, to } of findings)
    for (let bar = from; bar <= to; bar++) counts.set(bar, (counts.get(bar) ?? 0) + 1);
  const most = Math.max(1, ...counts.values());
  let path = '';
  for (const [bar, count] of [...counts].sort(([a], [b]) => a - b)) {
    const edges = edgesOf(place, bar, bar);
    if (edges === undefined) continue;
    const y = top + DENSITY_HEIGHT;
    path += `M${round(edges[0])} ${round(y)}v${round((-DENSITY_HEIGHT * count) / most)}H${round(edges[1])}V${round(y)}z`;
  }
  return path === '' ? '' : element('path', { class: 'piece-density', d: path });
}

/** Findings that stand, and how the lane shows them: a number each, or, of many, a column as high as a bar has findings. */
export function shownInLane(findings: readonly Finding[]): 'nothing' | 'numbers' | 'columns' {
  const open = findings.filter(({ accepted }) => accepted === undefined).length;
  return open === 0 ? 'nothing' : open > MOST_MARKS ? 'columns' : 'numbers';
}

/**
 * The lane of findings under `top`: its markup, '' where none stands, and its height. Numbers count from 1 in the order given; each is a link that is
 * `reach` high and wide.
 */
export function findingLane(findings: readonly Finding[], place: PieceLine, top: number, reach: number): Lane {
  const open = findings.filter(({ accepted }) => accepted === undefined);
  const shown = shownInLane(findings);
  if (shown === 'nothing') return { markup: '', height: 0 };
  if (shown === 'columns') return { markup: densityOf(open, place, top), height: DENSITY_HEIGHT + 4 };
  const marks = findings
    .flatMap((finding, index): Mark[] => {
      const edges = finding.accepted === undefined ? edgesOf(place, finding.from, finding.to) : undefined;
      return edges === undefined ? [] : [{ finding, number: index + 1, left: edges[0], right: edges[1] }];
    })
    .sort((a, b) => a.left - b.left || a.number - b.number);
  const lanes = byLane(marks, reach);
  const markup = lanes
    .map((lane, index) => lane.map((mark) => drawMark(mark, top + index * reach, place.right, reach)).join(''))
    .join('');
  return { markup, height: lanes.length * reach + 2 };
}
