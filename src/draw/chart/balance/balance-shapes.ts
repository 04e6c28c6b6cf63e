/** Paths of the balance chart: levels that step from bar to bar, and the area between them by who is louder. */
import { element, round } from '../../svg.ts';
import type { BalanceSeries } from './balance-series.ts';
import type { RulerLine } from '../../ruler/ruler.ts';

const KINDS = ['clear', 'close', 'below'] as const;
export type MarginKind = (typeof KINDS)[number];

const SHADES: Readonly<Record<MarginKind, string>> = {
  clear: 'M0 3.5h1',
  close: 'M-1 1L1 -1M0 6L6 0M5 7L7 5',
  below: 'M-1 1L1 -1M0 4L4 0M3 5L5 3M-1 3L1 5M0 0L4 4M3 -1L5 1',
};

const SIDES: Readonly<Record<MarginKind, number>> = { clear: 7, close: 6, below: 4 };

export function shadeId(prefix: string, kind: MarginKind): string {
  return `${prefix}-m-${kind}`;
}

/** Patterns of the three kinds of margin. */
export function balanceDefs(prefix: string, kinds: readonly MarginKind[] = KINDS): string {
  return kinds
    .map((kind) => {
      const side = SIDES[kind];
      return element(
        'pattern',
        {
          id: shadeId(prefix, kind),
          class: `shade-${kind}`,
          width: side,
          height: side,
          patternUnits: 'userSpaceOnUse',
        },
        element('rect', { class: 'tint', width: side, height: side }) +
          element('path', { class: 'hatch', d: SHADES[kind] }),
      );
    })
    .join('');
}

/** A level that steps from bar to bar; broken where there is none. */
export function levelPath(
  line: RulerLine,
  levelAt: (bar: number) => number | undefined,
  y: (db: number) => number,
): string {
  let path = '';
  let before: string | undefined;
  for (const box of line.bars) {
    const db = levelAt(box.number);
    const here = db === undefined ? undefined : round(y(db));
    if (here !== undefined) {
      path += before === undefined ? `M${round(box.x)} ${here}` : before === here ? '' : `V${here}`;
      path += `H${round(box.x + box.width)}`;
    }
    before = here;
  }
  return path;
}

/** The areas between the two levels, one path for each kind of margin. */
export function marginAreas(series: BalanceSeries, line: RulerLine, y: (db: number) => number, prefix: string): string {
  return KINDS.map((kind) => {
    let path = '';
    for (const box of line.bars) {
      const reading = series.at(box.number);
      if (reading?.foregroundDb === undefined || reading.backgroundDb === undefined) continue;
      if (series.standingOf(box.number) !== kind) continue;
      const upper = y(Math.max(reading.foregroundDb, reading.backgroundDb));
      const lower = y(Math.min(reading.foregroundDb, reading.backgroundDb));
      path += `M${round(box.x)} ${round(upper)}h${round(box.width)}V${round(lower)}h${round(-box.width)}z`;
    }
    if (path === '') return '';
    return element('path', { class: `margin-${kind}`, fill: `url(#${shadeId(prefix, kind)})`, d: path });
  }).join('');
}
