/** Second panel of the register chart: one strip a part, a semitone equally high in all, the foreground's top line in each. */
import type { Part } from '../../../model/music/arrangement.ts';
import { element, round, textElement } from '../../svg.ts';
import { familiesIn, familyClass, hatchId, hatchPatterns } from '../family-colours/families.ts';
import type { LinePicture } from '../frame/frame.ts';
import { stripLabels, type Front } from '../frame/front.ts';
import { placeSigns } from './register-ensemble.ts';
import { octavesIn, type RegisterBook } from './register-scale.ts';
import { bandPath, centrePath, placed, stepPath } from './register-shapes.ts';
import { GUTTER_WIDTH, type BarBox, type RulerLine } from '../../ruler/ruler.ts';
import { midiLabel, spanLabel } from '../../ruler/wording.ts';

/** Room above each strip for the signs. */
const SIGN_ROOM = 8;
/** Least height of a strip: two lines of text, the name over the compass; one line where there are many parts. */
const TWO_LINES = 22;
const ONE_LINE = 14;
const MANY_PARTS = 20;
/** Room for a name in two lines and in one. */
const NAME_WIDTH = 92;
const SHORT_WIDTH = 48;
const GAP = 5;
/** All strips of a line should fit a page with the bar numbers. */
const TARGET_HEIGHT = 960;

export function drawStrips(book: RegisterBook, front: Front, line: RulerLine, top: number, id: string): LinePicture {
  const compasses = book.parts.map((part) => book.compassOf(part.id));
  const semitones = compasses.reduce((sum, compass) => sum + compass.high - compass.low + 1, 0);
  const fixed = book.parts.length * (SIGN_ROOM + GAP);
  const unit = Math.min(1.5, Math.max(0.4, (TARGET_HEIGHT - fixed) / Math.max(1, semitones)));
  const isTight = book.parts.length > MANY_PARTS;
  const labels = stripLabels(book.parts, isTight ? SHORT_WIDTH : NAME_WIDTH);
  const left = round(line.bars[0]?.x ?? 0);
  let between = '';
  let plot = '';
  let gutter = '';
  let y = top + 2;
  book.parts.forEach((part, index) => {
    const compass = compasses[index] ?? { low: 60, high: 60 };
    const name = labels.get(part.id) ?? '';
    const strip = drawStrip(book, front, line, { part, name, isTight }, compass, y, unit, id);
    plot += strip.plot;
    gutter += strip.gutter;
    y += strip.height;
    between += `M${left} ${round(y - GAP / 2)}H${round(line.right)}`;
  });
  return {
    height: y + 2,
    defs: hatchPatterns(id, familiesIn(book.parts)),
    gutter,
    plot: element('path', { class: 'grid', d: between }) + plot,
  };
}

function drawStrip(
  book: RegisterBook,
  front: Front,
  line: RulerLine,
  { part, name, isTight }: { readonly part: Part; readonly name: string; readonly isTight: boolean },
  compass: { readonly low: number; readonly high: number },
  top: number,
  unit: number,
  id: string,
): { readonly plot: string; readonly gutter: string; readonly height: number } {
  const inner = Math.max(isTight ? ONE_LINE : TWO_LINES, (compass.high - compass.low + 1) * unit);
  const upper = top + SIGN_ROOM;
  const foot = upper + inner;
  const middle = (compass.high + compass.low) / 2;
  const y = (midi: number): number => upper + inner / 2 + (middle - midi) * unit;
  const behind = placed(line, book, part.id, (bar) => !front.isFront(part.id, bar));
  const ahead = placed(line, book, part.id, (bar) => front.isFront(part.id, bar));
  const left = line.bars[0]?.x ?? 0;

  const octaves = octavesIn(compass.low - 0.5, compass.high + 0.5);
  let plot = '';
  if (octaves.length > 0) {
    const lines = octaves.map((midi) => `M${round(left)} ${round(y(midi))}H${round(line.right)}`);
    plot += element('path', { class: 'octave', d: lines.join('') });
  }
  if (behind.length > 0) {
    plot += element('path', { class: 'band', fill: `url(#${hatchId(id, part.family)})`, d: bandPath(behind, y) });
    plot += element('path', { class: 'centre', d: centrePath(behind, y) });
  }
  if (ahead.length > 0) {
    plot += element('path', { class: 'front-band', d: bandPath(ahead, y) });
    plot += element('path', { class: 'front-edge', d: stepPath(ahead, (reading) => y(reading.high + 0.5)) });
  }
  plot += frontTrace(book, front, line, part, y, upper, foot);
  const boxesAt = (wanted: 'above' | 'level'): BarBox[] =>
    line.bars.filter((box) => book.placeOf(part.id, box.number) === wanted);
  plot += placeSigns(boxesAt('above'), boxesAt('level'), top + 1);
  plot += octaves
    .map((midi) => textElement(midiLabel(midi), { class: 'tick faint', x: line.right + 5, y: y(midi) + 3 }))
    .filter((_, index) => unit * 12 >= 9 || index === 0)
    .join('');

  const isFront = front.spansOf(part.id).length > 0;
  const x = GUTTER_WIDTH - 8;
  const twoLines = !isTight;
  const nameY = upper + inner / 2 + (twoLines ? -1.5 : 3.5);
  const compassY = twoLines ? nameY + 11 : nameY;
  const gutter =
    textElement(name, { class: isFront ? 'label strong end' : 'label end', x: twoLines ? x : x - 44, y: nameY }) +
    textElement(spanLabel(compass.low, compass.high), { class: 'tick faint end', x, y: compassY });
  return {
    plot: element('g', { class: `strip ${familyClass(part.family)}`, 'data-part': part.id }, plot),
    gutter,
    height: SIGN_ROOM + inner + GAP,
  };
}

/** The foreground's highest notes as a thin line, where they fall into the strip of another part. */
function frontTrace(
  book: RegisterBook,
  front: Front,
  line: RulerLine,
  part: Part,
  y: (midi: number) => number,
  upper: number,
  foot: number,
): string {
  const items = line.bars.flatMap((box) => {
    const span = book.frontAt(box.number);
    if (span === undefined || front.isFront(part.id, box.number)) return [];
    const at = y(span.high + 0.5);
    if (at < upper - 2 || at > foot + 1) return [];
    return [{ box, reading: { partId: part.id, bar: box.number, low: span.low, high: span.high, centre: span.high } }];
  });
  if (items.length === 0) return '';
  return element('path', { class: 'front-trace', d: stepPath(items, (reading) => y(reading.high + 0.5)) });
}
