/** The flag of a place: a number in a small box that leads to the finding or note, and a line over the bars it is about. */
import { groupedBy } from '../../model/grouped.ts';
import { element, round, textElement } from '../svg.ts';
import type { PlaceMark } from './place-mark.ts';

/** In units of the lane: what a finger hits is as high as the lane (WCAG 2.2, 2.5.8: 24 CSS px). */
export const LANE_UNITS = 24;
const BOX_UNITS = 16;
const LETTER_UNITS = 7;

/** Width of the box of a sign, in units. */
export function flagUnits(sign: string): number {
  return 9 + LETTER_UNITS * sign.length;
}

/** Width of what a finger hits, in units. */
export function reachUnits(sign: string): number {
  return Math.max(LANE_UNITS, flagUnits(sign));
}

export interface FlagPlace {
  /** Left edge of the box, right end of the line, top of the lane. */
  readonly x: number;
  readonly right: number;
  readonly y: number;
  /** Length of a unit in the picture: 1 where a CSS pixel is shown as one. */
  readonly unit: number;
}

/** The box, from which a line runs to `right` where there is room. */
function boxPath({ sign }: PlaceMark, { x, right, y, unit }: FlagPlace): string {
  const width = flagUnits(sign) * unit;
  const middle = y + (LANE_UNITS / 2) * unit;
  const half = (BOX_UNITS / 2) * unit;
  const line = right > x + width + unit ? `M${round(x + width)} ${round(middle)}H${round(right)}` : '';
  return `M${round(x)} ${round(middle - half)}h${round(width)}v${round(2 * half)}h${round(-width)}z${line}`;
}

function boxesOf(d: string, unit: number): string {
  return element('path', { 'stroke-width': round(1.4 * unit), d });
}

/** The sign in its box. */
function signText({ sign }: PlaceMark, { x, y, unit }: FlagPlace): string {
  return textElement(sign, {
    'font-size': round(12 * unit),
    x: round(x + (flagUnits(sign) * unit) / 2),
    y: round(y + (LANE_UNITS / 2 + 4.2) * unit),
  });
}

/** The same signs where nothing is a link, without lines: what is of one kind as one drawing. */
export function drawPaperFlags(
  flags: readonly { readonly mark: PlaceMark; readonly x: number }[],
  y: number,
  unit: number,
): string {
  return [...groupedBy(flags, ({ mark }) => mark.kind)]
    .map(([kind, same]) => {
      const placed = same.map(({ mark, x }) => ({ mark, place: { x, y, unit, right: 0 } }));
      const boxes = boxesOf(placed.map(({ mark, place }) => boxPath(mark, place)).join(''), unit);
      const signs = placed.map(({ mark, place }) => signText(mark, place)).join('');
      return element('g', { class: `flag is-${kind}` }, boxes + signs);
    })
    .join('');
}

/** One flag as a link. `id` is its own place in the page; none where it is ''. */
export function drawFlag(mark: PlaceMark, place: FlagPlace, id = ''): string {
  const { x, y, unit } = place;
  return element(
    'a',
    {
      id,
      class: `flag is-${mark.kind}${id === '' ? '' : ` at-${mark.key}`}`,
      href: mark.href,
      'aria-label': mark.title,
    },
    element('rect', {
      x: round(x),
      y: round(y),
      width: round(reachUnits(mark.sign) * unit),
      height: round(LANE_UNITS * unit),
    }) +
      boxesOf(boxPath(mark, place), unit) +
      signText(mark, place),
  );
}
