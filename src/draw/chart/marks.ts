/** Marks that others put on a chart: a bracket over the bars they concern and a very short text. */
import type { ChartMark } from '../../model/drawing.ts';
import { element, round, textElement } from '../svg.ts';
import { spanInLine, type RulerLine } from './ruler.ts';
import { shorten } from './wording.ts';

/** Marks closer together than this share one place; the later one is moved right. */
const TEXT_ROOM = 13;

/** Draws the marks of a line. `rowOf` gives the top and foot of a part's row, or of all rows where no part is named. */
export function drawMarks(
  marks: readonly ChartMark[],
  line: RulerLine,
  rowOf: (partId: string | undefined) => { readonly top: number; readonly foot: number },
): string {
  let path = '';
  let texts = '';
  const freeFrom = new Map<number, number>();
  for (const mark of [...marks].sort((a, b) => a.from - b.from)) {
    const span = spanInLine(line, mark.from, mark.to);
    if (span === undefined) continue;
    const { top } = rowOf(mark.partId);
    const right = span.last.x + span.last.width;
    path += `M${round(span.first.x + 1)} ${round(top + 4)}v-3H${round(right - 1)}v3`;
    const x = Math.max(span.first.x + 2, freeFrom.get(top) ?? 0);
    freeFrom.set(top, x + TEXT_ROOM);
    texts += textElement(shorten(mark.text, 6), { class: 'mark-text', x, y: top + 9.5 });
  }
  return path === '' ? '' : element('g', { class: 'marks' }, element('path', { class: 'mark', d: path }) + texts);
}
