/** A stage in the size of a stamp: who plays where, who leads, where the background is louder. No words and no links. */
import { judgedBalance } from '../../../analyse/level/measured/judged-balance.ts';
import type { Stage } from '../../../model/music/arrangement.ts';
import type { StageReadings } from '../../../model/readings/readings.ts';
import { element, round } from '../../svg.ts';
import { familyClass } from '../family-colours/families.ts';

const WIDTH = 200;
const UNDER_HEIGHT = 6;
/** Height of all rows together, whatever their number, so that stamps stand beside one another. */
const ROWS_HEIGHT = 66;
const MOST_ROW_HEIGHT = 9;

interface Span {
  readonly from: number;
  readonly to: number;
}

/** Draws the stamp; '' where there is nothing to draw. Decorative: what it shows stands in words beside it. */
export function drawThumbnail(stage: Stage, readings: StageReadings): string {
  const { bars } = stage.timeline;
  const [first] = bars;
  if (first === undefined || stage.parts.length === 0) return '';
  const unit = WIDTH / bars.length;
  const left = (bar: number): number => (bar - first.number) * unit;
  const box = ({ from, to }: Span, top: number, height: number): string =>
    `M${round(left(from))} ${round(top)}H${round(left(to + 1))}v${round(height)}H${round(left(from))}z`;
  const path = (name: string, d: string): string => (d === '' ? '' : element('path', { class: name, d }));
  const under = judgedBalance(readings)
    .flatMap(({ bar, marginDb = 0 }) => (marginDb < 0 ? [box({ from: bar, to: bar }, 1, UNDER_HEIGHT - 2)] : []))
    .join('');
  const rowHeight = Math.min(MOST_ROW_HEIGHT, ROWS_HEIGHT / stage.parts.length);
  const leads = stage.foreground.flatMap((span) => [span, ...span.shared]);
  const rows = stage.parts.map((part, index) => {
    const top = UNDER_HEIGHT + (index + 0.15) * rowHeight;
    const drawn = (spans: readonly (Span & { readonly partId: string })[]): string =>
      spans.flatMap((span) => (span.partId === part.id ? [box(span, top, 0.7 * rowHeight)] : [])).join('');
    return element(
      'g',
      { class: familyClass(part.family) },
      path('piece-band', drawn(readings.presence)) + path('piece-front', drawn(leads)),
    );
  });
  const foot = UNDER_HEIGHT + rowHeight * stage.parts.length;
  const sections = stage.sections.slice(1).map(({ from }) => `M${round(left(from))} 0V${round(foot)}`);
  return element(
    'svg',
    {
      class: 'piece-stamp',
      viewBox: `0 0 ${String(WIDTH)} ${String(UNDER_HEIGHT + ROWS_HEIGHT)}`,
      'aria-hidden': 'true',
      focusable: 'false',
    },
    path('piece-under', under) + rows.join('') + path('section-line', sections.join('')),
  );
}
