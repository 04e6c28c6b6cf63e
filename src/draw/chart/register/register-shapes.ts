/** Paths of the register chart: bands from low to high and lines through the centres. */
import type { RegisterReading } from '../../../model/readings/readings.ts';
import { round } from '../../svg.ts';
import type { RegisterBook } from './register-scale.ts';
import type { BarBox, RulerLine } from '../../ruler/ruler.ts';

export type PitchToY = (midi: number) => number;

export interface PlacedReading {
  readonly box: BarBox;
  readonly reading: RegisterReading;
}

/** Readings of a part that stand in a line and pass a test, with their bars' boxes; in order of bar. */
export function placed(
  line: RulerLine,
  book: Pick<RegisterBook, 'readingAt'>,
  partId: string,
  keep: (bar: number) => boolean,
): PlacedReading[] {
  const found: PlacedReading[] = [];
  for (const box of line.bars) {
    const reading = book.readingAt(partId, box.number);
    if (reading !== undefined && keep(box.number)) found.push({ box, reading });
  }
  return found;
}

/**
 * One closed shape for each run of neighbouring bars, stepping along the highest notes and back along the lowest: from half
 * a semitone below the lowest to half above the highest note of each bar.
 */
export function bandPath(items: readonly PlacedReading[], y: PitchToY): string {
  let path = '';
  let run: PlacedReading[] = [];
  items.forEach((item, index) => {
    run.push(item);
    const next = items[index + 1];
    if (next !== undefined && continues(item, next)) return;
    const there = stepPath(run, (reading) => y(reading.high + 0.5));
    const back = backPath(run, (reading) => y(reading.low - 0.5));
    path += `${there}${back}z`;
    run = [];
  });
  return path;
}

/** A line that steps along an edge from right to left, joined to what was drawn before. */
function backPath(items: readonly PlacedReading[], y: (reading: RegisterReading) => number): string {
  let path = '';
  let height = '';
  for (let index = items.length - 1; index >= 0; index--) {
    const item = items[index];
    if (item === undefined) continue;
    const here = round(y(item.reading));
    if (here !== height) path += `V${here}`;
    path += `H${round(item.box.x)}`;
    height = here;
  }
  return path.replaceAll(/(?:H[\d.]+)+(?=H)/g, '');
}

function continues(before: PlacedReading, after: PlacedReading): boolean {
  return after.reading.bar === before.reading.bar + 1;
}

/** A line that steps from bar to bar along one edge or the centre of a part, broken where the part is silent. */
export function stepPath(items: readonly PlacedReading[], y: (reading: RegisterReading) => number): string {
  let path = '';
  let before: PlacedReading | undefined;
  let height = '';
  for (const item of items) {
    const here = round(y(item.reading));
    if (before === undefined || !continues(before, item)) path += `M${round(item.box.x)} ${here}`;
    else if (here !== height) path += `V${here}`;
    path += `H${round(item.box.x + item.box.width)}`;
    before = item;
    height = here;
  }
  return path.replaceAll(/(?:H[\d.]+)+(?=H)/g, '');
}

/** A line through the centres of the bars, broken where the part is silent; a lone bar gets a short level stroke. */
export function centrePath(items: readonly PlacedReading[], y: PitchToY): string {
  let path = '';
  items.forEach((item, index) => {
    const before = items[index - 1];
    const after = items[index + 1];
    const joined = before !== undefined && continues(before, item);
    const goesOn = after !== undefined && continues(item, after);
    const here = round(y(item.reading.centre));
    const { x, width } = item.box;
    if (!joined) path += `M${round(x + width * (goesOn ? 0.5 : 0.2))} ${here}`;
    else path += `L${round(x + width / 2)} ${here}`;
    if (!joined && !goesOn) path += `h${round(width * 0.6)}`;
  });
  return path;
}

/** Small filled triangles (`above`) with their tips at the given height. */
export function trianglePath(boxes: readonly BarBox[], y: number): string {
  let path = '';
  for (const box of boxes) {
    const half = Math.min(3, box.width * 0.36);
    path += `M${round(box.x + box.width / 2 - half)} ${round(y + 5)}h${round(2 * half)}l${round(-half)} -5z`;
  }
  return path;
}

/** Small open strokes (`level`) at the given height. */
export function dashPath(boxes: readonly BarBox[], y: number): string {
  let path = '';
  for (const box of boxes) {
    const half = Math.min(2.6, box.width * 0.32);
    path += `M${round(box.x + box.width / 2 - half)} ${round(y)}h${round(2 * half)}`;
  }
  return path;
}
