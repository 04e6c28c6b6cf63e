/** First panel of the register chart: the whole ensemble on one axis of pitch, the foreground in front. */
import type { Family } from '../../../model/music/instrument.ts';
import { element, round, textElement } from '../../svg.ts';
import { familiesIn, familyClass, familyName, hatchId, hatchPatterns } from '../family-colours/families.ts';
import type { LinePicture } from '../frame/frame.ts';
import { endLabel, type Front } from '../frame/front.ts';
import {
  bandPath,
  centrePath,
  dashPath,
  placed,
  stepPath,
  trianglePath,
  type PlacedReading,
} from './register-shapes.ts';
import { octavesIn, type RegisterBook } from './register-scale.ts';
import { GUTTER_WIDTH, type RulerLine } from '../../ruler/ruler.ts';

const LABEL_STEP = 12;

/** With more parts than this the lines through the mean pitches are left to the strips. */
const MOST_CENTRE_LINES = 16;

/** E4..F5 and G2..A3: the lines of the treble and the bass staff. */
const STAVES = [
  { label: 'treble staff', low: 64, high: 77 },
  { label: 'bass staff', low: 43, high: 57 },
] as const;

export function drawEnsemble(book: RegisterBook, front: Front, line: RulerLine, top: number, id: string): LinePicture {
  const low = Math.min(book.low - 2, book.high - 22);
  const high = book.high + 2;
  const unit = Math.min(5, Math.max(2.6, 250 / (high - low)));
  const y = (midi: number): number => top + 4 + (high - midi) * unit;
  const foot = y(low);
  const families = familiesIn(book.parts);
  const labels: { readonly y: number; readonly x: number; readonly markup: (y: number) => string }[] = [];

  let plot = staffTints(low, high, line, y) + octaveLines(low, high, line, y);
  for (const family of families) {
    const drawn = drawFamily(family, book, front, line, y, id);
    plot += drawn.markup;
    if (drawn.last !== undefined) {
      labels.push({
        y: y(drawn.last.reading.centre),
        x: drawn.last.box.x + drawn.last.box.width,
        markup: (at) =>
          textElement(familyName(family), {
            class: `label ${familyClass(family)} named`,
            x: line.right + 14,
            y: at + 3.5,
          }),
      });
    }
  }
  for (const part of front.together) {
    const items = placed(line, book, part.id, (bar) => front.isFront(part.id, bar));
    const last = items.at(-1);
    if (last === undefined) continue;
    plot += drawFront(items, y);
    labels.push({
      y: y(last.reading.high),
      x: last.box.x + last.box.width,
      markup: (at) => textElement(endLabel(part, 66), { class: 'label strong', x: line.right + 14, y: at + 3.5 }),
    });
  }
  plot += signRow(book, line, foot + 8) + directLabels(labels, line, top + 6, foot);
  return {
    height: foot + 20,
    defs: hatchPatterns(id, families),
    gutter: gutterOf(low, high, y, foot),
    plot,
  };
}

function drawFamily(
  family: Family,
  book: RegisterBook,
  front: Front,
  line: RulerLine,
  y: (midi: number) => number,
  id: string,
): { readonly markup: string; readonly last: PlacedReading | undefined } {
  let bands = '';
  let centres = '';
  let last: PlacedReading | undefined;
  for (const part of book.parts) {
    if (part.family !== family) continue;
    const items = placed(line, book, part.id, (bar) => !front.isFront(part.id, bar));
    bands += bandPath(items, y);
    if (book.parts.length <= MOST_CENTRE_LINES) centres += centrePath(items, y);
    const end = items.at(-1);
    if (end !== undefined && (last === undefined || end.reading.bar > last.reading.bar)) last = end;
  }
  if (bands === '') return { markup: '', last: undefined };
  const markup = element(
    'g',
    { class: familyClass(family), 'data-family': family },
    element('path', { class: 'band', fill: `url(#${hatchId(id, family)})`, d: bands }) +
      (centres === '' ? '' : element('path', { class: 'centre', d: centres })),
  );
  return { markup, last };
}

function drawFront(items: readonly PlacedReading[], y: (midi: number) => number): string {
  const topEdge = stepPath(items, (reading) => y(reading.high + 0.5));
  const footEdge = stepPath(items, (reading) => y(reading.low - 0.5));
  return element(
    'g',
    { class: 'front' },
    element('path', { class: 'front-band', d: bandPath(items, y) }) +
      element('path', { class: 'front-foot', d: footEdge }) +
      element('path', { class: 'front-halo', d: topEdge }) +
      element('path', { class: 'front-edge', d: topEdge }),
  );
}

function staffTints(low: number, high: number, line: RulerLine, y: (midi: number) => number): string {
  const left = line.bars[0]?.x ?? 0;
  return STAVES.map((staff) => {
    const upper = Math.min(high, staff.high);
    const lower = Math.max(low, staff.low);
    if (upper <= lower) return '';
    return element('rect', {
      class: 'staff-zone',
      x: round(left),
      y: round(y(upper)),
      width: round(line.right - left),
      height: round(y(lower) - y(upper)),
    });
  }).join('');
}

function octaveLines(low: number, high: number, line: RulerLine, y: (midi: number) => number): string {
  const path = octavesIn(low, high).map(
    (midi) => `M${round(line.bars[0]?.x ?? 0)} ${round(y(midi))}H${round(line.right)}`,
  );
  return element('path', { class: 'octave', d: path.join('') });
}

function gutterOf(low: number, high: number, y: (midi: number) => number, foot: number): string {
  let markup = '';
  for (const midi of octavesIn(low, high)) {
    const name = `C${midi / 12 - 1}`;
    markup += textElement(name, { class: 'tick end', x: GUTTER_WIDTH - 8, y: y(midi) + 3.5 });
  }
  for (const staff of STAVES) {
    const middle = (staff.low + staff.high) / 2;
    if (middle < low || middle > high) continue;
    markup += textElement(staff.label, { class: 'tick faint end', x: GUTTER_WIDTH - 30, y: y(middle) + 3.5 });
  }
  return markup + textElement('level or above', { class: 'tick end', x: GUTTER_WIDTH - 8, y: foot + 14 });
}

/** One sign a bar: does any background part reach into, or rise above, the foreground? */
function signRow(book: RegisterBook, line: RulerLine, y: number): string {
  const places = line.bars.map((box) => {
    if (book.aboveAt(box.number).length > 0) return { box, place: 'above' };
    return { box, place: book.parts.some((part) => book.placeOf(part.id, box.number) === 'level') ? 'level' : '' };
  });
  return placeSigns(
    places.filter((item) => item.place === 'above').map((item) => item.box),
    places.filter((item) => item.place === 'level').map((item) => item.box),
    y,
  );
}

/** Triangles for `above`, short strokes for `level`. */
export function placeSigns(above: RulerLine['bars'], level: RulerLine['bars'], y: number): string {
  return (
    (above.length === 0 ? '' : element('path', { class: 'sign-above', d: trianglePath(above, y) })) +
    (level.length === 0 ? '' : element('path', { class: 'sign-level', d: dashPath(level, y + 3) }))
  );
}

/** Labels at the right end, moved apart so that none covers another, each joined to what it names. */
function directLabels(
  labels: readonly { readonly y: number; readonly x: number; readonly markup: (y: number) => string }[],
  line: RulerLine,
  top: number,
  foot: number,
): string {
  const sorted = [...labels].sort((a, b) => a.y - b.y);
  const places: number[] = [];
  for (const label of sorted) places.push(Math.max(label.y, (places.at(-1) ?? top - LABEL_STEP) + LABEL_STEP));
  let limit = foot;
  for (let index = places.length - 1; index >= 0; index--) {
    places[index] = Math.min(places[index] ?? 0, limit);
    limit = (places[index] ?? 0) - LABEL_STEP;
  }
  return sorted
    .map((label, index) => {
      const at = places[index] ?? label.y;
      const leader = `M${round(Math.max(label.x, line.right))} ${round(label.y)}L${round(line.right + 11)} ${round(at)}`;
      return element('path', { class: 'leader', d: leader }) + label.markup(at);
    })
    .join('');
}
