/** Findings and notes on the map of entries: a bracket over the bars of every part concerned, and the number, a link, at the first of them. */
import { drawFlag, reachUnits } from '../../finding-marks/flag.ts';
import type { PlaceMark } from '../../finding-marks/place-mark.ts';
import { element, round } from '../../svg.ts';
import { spanInLine, type RulerLine } from '../../ruler/ruler.ts';

/** A flag stands right of the sign with which a part enters. */
const SIGN_ROOM = 7;

export interface MapRow {
  readonly top: number;
  readonly foot: number;
}

export interface MapMarks {
  /** Brackets, and what is seen where the address names it. */
  readonly drawn: string;
  readonly links: string;
}

function bracketOf(left: number, right: number, { top, foot }: MapRow, mark: PlaceMark): string {
  const box = { x: round(left), y: round(top), width: round(right - left), height: round(foot - top) };
  return (
    element('rect', { class: `place ${mark.key}`, ...box }) +
    (mark.kind === 'accepted'
      ? ''
      : element('path', {
          class: mark.kind === 'note' ? 'mark is-note' : 'mark',
          d: `M${round(left + 1)} ${round(top + 4)}v-3H${round(right - 1)}v3`,
        }))
  );
}

/**
 * The marks of a line. `rowOf` gives the row of a part, or of all parts where none is named. The first link of a mark in the chart has the
 * id `map-KEY`; `placed` remembers which marks have one.
 */
export function drawMarks(
  marks: readonly PlaceMark[],
  line: RulerLine,
  rowOf: (partId: string | undefined) => MapRow,
  placed: Set<string>,
): MapMarks {
  let drawn = '';
  let links = '';
  const freeFrom = new Map<number, number>();
  for (const mark of [...marks].sort((a, b) => a.from - b.from)) {
    const span = spanInLine(line, mark.from, mark.to);
    if (span === undefined) continue;
    const [left, right] = [span.first.x, span.last.x + span.last.width];
    const rows = mark.partIds.length === 0 ? [rowOf(undefined)] : mark.partIds.map(rowOf);
    drawn += rows.map((row) => bracketOf(left, right, row, mark)).join('');
    const id = placed.has(mark.key) ? '' : `map-${mark.key}`;
    placed.add(mark.key);
    const top = Math.min(...rows.map((row) => row.top));
    if (mark.kind === 'accepted') {
      links += element('rect', {
        id,
        class: `place at-${mark.key}`,
        x: round(left),
        y: round(top),
        width: 1,
        height: 1,
      });
      continue;
    }
    const x = Math.max(left + SIGN_ROOM, freeFrom.get(top) ?? 0);
    freeFrom.set(top, x + reachUnits(mark.sign));
    links += drawFlag(mark, { x, right: 0, y: top, unit: 1 }, id);
  }
  return { drawn, links };
}
