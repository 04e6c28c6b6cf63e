/** How far the foreground is above or under the background in the bars of a finding, as a small picture. */
import { basisText, type JudgedBar } from '../../analyse/level/measured/judged-balance.ts';
import type { Stage } from '../../model/music/arrangement.ts';
import type { Finding } from '../../model/readings/readings.ts';
import { element, round, textElement } from '../svg.ts';
import { marginBars } from './picture-bars.ts';

const SIZE = { width: 420, height: 118, left: 4, gutter: 146 };
const MIDDLE = 50;
/** Further than this is drawn as far as this. */
export const MOST_MARGIN_DB = 12;
const PX_PER_DB = 3;
/** Least height of a column, so that a bar at the line is seen. */
const LEAST_PX = 1.5;

export interface MarginPicture {
  readonly svg: string;
  /** Bar numbers, both included. */
  readonly from: number;
  readonly to: number;
  /** Where its margins are from. */
  readonly basis: string;
  /** Whether a column would reach further. */
  readonly isCut: boolean;
}

/** Columns, a bar each, above the line where the foreground is louder; undefined where nothing is known of it. */
export function marginPicture(
  finding: Finding,
  stage: Stage,
  balance: readonly JudgedBar[],
): MarginPicture | undefined {
  const { bars } = stage.timeline;
  const { from, to } = marginBars(finding, balance, bars);
  const judged = balance.slice(from, to + 1);
  const shown = bars.slice(from, to + 1).map(({ number }, index) => ({ number, marginDb: judged[index]?.marginDb }));
  if (shown.every(({ marginDb }) => marginDb === undefined)) return undefined;
  const step = Math.min(40, (SIZE.width - SIZE.gutter - SIZE.left) / shown.length);
  const columns = shown.map(({ number, marginDb }, index) => {
    if (marginDb === undefined) return '';
    const isBehind = marginDb < 0;
    const height = Math.max(LEAST_PX, Math.min(MOST_MARGIN_DB, Math.abs(marginDb)) * PX_PER_DB);
    const isInside = number >= finding.from && number <= finding.to;
    return element('rect', {
      class: isBehind && isInside ? 'margin-behind' : isInside ? 'margin-front' : 'margin-beside',
      x: SIZE.gutter + index * step + 1,
      y: isBehind ? MIDDLE : MIDDLE - height,
      width: step - 2,
      height,
    });
  });
  const right = SIZE.gutter + shown.length * step;
  const numbers = shown.flatMap(({ number }, index) =>
    number === finding.from || number === finding.to || (number % 5 === 0 && shown.length > 10)
      ? [textElement(String(number), { x: SIZE.gutter + (index + 0.5) * step, y: 106, 'text-anchor': 'middle' })]
      : [],
  );
  const sides = [
    textElement('foreground louder', { x: SIZE.gutter - 8, y: 34, 'text-anchor': 'end' }),
    textElement('background louder', { x: SIZE.gutter - 8, y: 74, 'text-anchor': 'end' }),
    textElement('bar', { x: SIZE.gutter - 8, y: 106, 'text-anchor': 'end' }),
  ];
  const line = `<path d="M${String(SIZE.gutter)} ${String(MIDDLE)}H${round(right)}" stroke="currentColor"/>`;
  const width = Math.ceil(right) + SIZE.left;
  const svg =
    `<svg class="margin-picture" width="${String(width)}" height="${String(SIZE.height)}" viewBox="0 0 ${String(width)} ${String(SIZE.height)}" ` +
    `role="img" aria-label="Margin by bar" fill="currentColor" font-size="12.5">` +
    `${columns.join('')}${line}${sides.join('')}${numbers.join('')}</svg>`;
  return {
    svg,
    from: shown[0]?.number ?? finding.from,
    to: shown.at(-1)?.number ?? finding.to,
    basis: basisText(judged),
    isCut: shown.some(({ marginDb = 0 }) => Math.abs(marginDb) > MOST_MARGIN_DB),
  };
}
