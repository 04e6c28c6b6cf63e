/** The whole piece as one line beside a score: sections, bar numbers as links, findings as ticks. Drawn for a page and for a telephone. */
import { element, round, textElement } from '../svg.ts';
import { fitText } from '../ruler/wording.ts';
import type { PlaceMark } from './place-mark.ts';

export interface OverviewPiece {
  readonly bars: readonly number[];
  readonly sections: readonly { readonly name: string; readonly from: number; readonly to: number }[];
  readonly marks: readonly PlaceMark[];
  /** Address of a bar; '' where no score shows it. */
  readonly hrefOf: (bar: number) => string;
}

interface Size {
  readonly name: 'wide' | 'narrow';
  readonly width: number;
  /** Least distance of two links. */
  readonly gap: number;
}

const SIZES: readonly Size[] = [
  { name: 'wide', width: 1000, gap: 30 },
  { name: 'narrow', width: 350, gap: 26 },
];
/** What a finger hits (WCAG 2.2, 2.5.8: 24 px), of names and findings above and of numbers below; the narrow one may be shown a little smaller. */
const REACH = 26;
const HEIGHT = 2 * REACH;
const RULER_Y = 28;
const STEPS = [1, 2, 4, 5, 10, 20, 25, 50, 100, 200];

function drawn({ bars, sections, marks, hrefOf }: OverviewPiece, { name, width, gap }: Size): string {
  const unit = width / Math.max(1, bars.length);
  const first = bars[0] ?? 1;
  const x = (bar: number): number => (bar - first) * unit;
  const step = STEPS.find((count) => count * unit >= gap) ?? 500;
  const names = sections
    .map((section, index) => {
      const next = sections[index + 1]?.from;
      const room = (next === undefined ? width : x(next)) - x(section.from) - 6;
      const line = element('path', {
        class: 'overview-section',
        d: `M${round(x(section.from))} ${RULER_Y - 15}V${RULER_Y}`,
      });
      if (room < 8 || section.name === '') return line;
      const href = hrefOf(section.from);
      const text = textElement(fitText(section.name, room, 10), {
        class: 'section-name',
        x: x(section.from) + 3,
        y: RULER_Y - 5,
      });
      return (
        line +
        (href === ''
          ? text
          : element(
              'a',
              { href, 'aria-label': `${section.name}, bar ${String(section.from)}` },
              element('rect', { x: round(x(section.from)), y: 0, width: round(Math.max(REACH, room)), height: REACH }) +
                text,
            ))
      );
    })
    .join('');
  const ticks = marks
    .filter(({ kind }) => kind === 'fix' || kind === 'look')
    .map(({ from, kind }) => `M${round(x(Math.max(first, from)) + unit / 2)} ${RULER_Y}v${kind === 'fix' ? 8 : 5}`)
    .join('');
  let freeFrom = -Infinity;
  const numbers = bars
    .filter((bar, index) => index === 0 || bar % step === 0)
    .map((bar) => {
      const href = hrefOf(bar);
      if (href === '' || x(bar) < freeFrom || x(bar) > width - 14) return '';
      freeFrom = x(bar) + gap * 0.92;
      return element(
        'a',
        { href, 'aria-label': `Bar ${String(bar)}` },
        element('rect', { x: round(x(bar)), y: HEIGHT - REACH, width: REACH, height: REACH }) +
          textElement(String(bar), { x: x(bar) + 2, y: HEIGHT - 4 }),
      );
    })
    .join('');
  return element(
    'svg',
    {
      class: `overview-${name}`,
      'data-from': first,
      'data-bars': bars.length,
      viewBox: `0 0 ${width} ${HEIGHT}`,
      role: 'group',
      'aria-label': 'Bars and sections',
      focusable: 'false',
    },
    element('rect', { class: 'overview-here', x: 0, y: RULER_Y - 15, width: 0, height: 15 }) +
      element('path', { class: 'overview-ruler', d: `M0 ${RULER_Y}H${width}` }) +
      (ticks === '' ? '' : element('path', { class: 'overview-findings', d: ticks })) +
      names +
      numbers,
  );
}

/** The line in both sizes, of which a style sheet shows one; '' where there are no bars. */
export function drawOverview(piece: OverviewPiece): string {
  return piece.bars.length === 0 ? '' : SIZES.map((size) => drawn(piece, size)).join('');
}
