/** The register chart: in which register each part is in each bar, and whether anything sits on or above the foreground. */
import type { Part, Stage } from '../../../model/music/arrangement.ts';
import type { ChartDrawing, LegendEntry } from '../../../model/drawing.ts';
import { agreeing, barsText, sentenceStart } from '../../../model/words/plain-words.ts';
import type { StageReadings } from '../../../model/readings/readings.ts';
import { element } from '../../svg.ts';
import { familiesIn, familyClass, familyName, hatchId, hatchPatterns } from '../family-colours/families.ts';
import { chartId, framed, legendSign, scrolling, type ChartOptions } from '../frame/frame.ts';
import { frontOf, namesOf, type Front } from '../frame/front.ts';
import { drawEnsemble } from './register-ensemble.ts';
import { registerBookOf, type RegisterBook } from './register-scale.ts';
import { drawStrips } from './register-strips.ts';
import { registerData, registerTable } from './register-table.ts';
import { rulerOf } from '../../ruler/ruler.ts';
import { MOST_SPANS, spanLabel } from '../../ruler/wording.ts';

const TITLE = 'Register';

/** Draws the register of every part, bar by bar. Nothing is drawn where no part has a pitch. */
export function drawRegister(stage: Stage, readings: StageReadings, options: ChartOptions = {}): ChartDrawing {
  const front = frontOf(stage);
  const book = registerBookOf(stage, readings, front);
  const id = chartId(stage, 'register', options);
  const ruler = rulerOf(stage, options.mostBarsInALine);
  const table = registerTable(stage, book, front);
  const csv = registerData(book);
  if (book.parts.length === 0 || ruler.lines.length === 0) {
    const description = 'No part of this stage has a pitch, so there is no register to show.';
    return { id, title: TITLE, description, svg: '', legend: [], table: { ...table, rows: [] }, csv };
  }
  const description = describe(stage, book, front);
  const barText = barTexts(book, front);
  const ensemble = framed({
    stage,
    ruler,
    id: `${id}-ensemble`,
    title: 'Register of the ensemble on one axis of pitch',
    description,
    draw: (line, top, prefix) => drawEnsemble(book, front, line, top, prefix),
    barText,
    marks: options.marks ?? [],
  });
  const strips = framed({
    stage,
    ruler,
    id: `${id}-parts`,
    title: 'Register of each part',
    description: 'One strip a part; a semitone is equally high in all of them.',
    draw: (line, top, prefix) => drawStrips(book, front, line, top, prefix),
    barText,
  });
  const svg =
    scrolling('Register, ensemble', ensemble) + (book.parts.length > 1 ? scrolling('Register, by part', strips) : '');
  return { id, title: TITLE, description, svg, legend: legendOf(id, book, front), table, csv };
}

function describe(stage: Stage, book: RegisterBook, front: Front): string {
  const spans = stage.timeline.bars.flatMap((bar) => book.frontAt(bar.number) ?? []);
  if (spans.length === 0) {
    return `The ensemble lies between ${spanLabel(book.low, book.high)}; no foreground part has a pitch to compare it with.`;
  }
  const low = Math.min(...spans.map((span) => span.low));
  const high = Math.max(...spans.map((span) => span.high));
  const start = `${sentenceStart(front.name)} moves within ${spanLabel(low, high)}`;
  const bars = stage.timeline.bars.map((bar) => bar.number).filter((bar) => book.aboveAt(bar).length > 0);
  if (bars.length === 0) {
    const others = book.parts.some((part) => front.spansOf(part.id).length === 0);
    return others
      ? `${start}, and no other part goes above its highest note of the same bar; single notes of it may still lie under another part.`
      : `${start}.`;
  }
  const counts = new Map<Part, number>();
  for (const bar of bars) for (const part of book.aboveAt(bar)) counts.set(part, (counts.get(part) ?? 0) + 1);
  const over = [...counts].sort((a, b) => b[1] - a[1]).map(([part]) => part);
  return `${start}; ${namesOf(over)} ${agreeing(over.length, 'rises', 'rise')} above its highest note in ${barsText(bars, MOST_SPANS)}.`;
}

function barTexts(book: RegisterBook, front: Front): (bar: number) => string {
  return (bar) => {
    const span = book.frontAt(bar);
    const above = book.aboveAt(bar);
    const lead = span === undefined ? `${front.name} silent` : `${front.name} ${spanLabel(span.low, span.high)}`;
    return `Bar ${bar}: ${lead}${above.length === 0 ? '' : `; above it ${namesOf(above)}`}`;
  };
}

function legendOf(id: string, book: RegisterBook, front: Front): LegendEntry[] {
  const entries: LegendEntry[] = [];
  if (front.parts.length > 0) {
    const sign =
      element('path', { class: 'front-band', d: 'M2 4h24v11h-24z' }) +
      element('path', { class: 'front-edge', d: 'M2 4h24' });
    const text = `Foreground: ${namesOf(front.parts)}; dark, with a heavy line along the highest notes${book.parts.length > 1 ? ', which runs on as a thin broken line through the strips of the other parts' : ''}`;
    entries.push({ sign: legendSign(sign), text });
  }
  for (const family of familiesIn(
    book.parts.filter((part) => book.readingsOf(part.id).some((reading) => !front.isFront(part.id, reading.bar))),
  )) {
    const prefix = `${id}-key`;
    const sign = element(
      'g',
      { class: familyClass(family) },
      element('path', { class: 'band', fill: `url(#${hatchId(prefix, family)})`, d: 'M2 3h24v13h-24z' }) +
        element('path', { class: 'centre', d: 'M2 9.5h24' }),
    );
    entries.push({
      sign: legendSign(sign, 28, hatchPatterns(prefix, [family])),
      text: `${familyName(family)}: from lowest to highest note of the bar, the line through the mean pitch`,
    });
  }
  if (book.parts.length === 1) return entries;
  entries.push(
    {
      sign: legendSign(element('path', { class: 'sign-above', d: 'M10 13h8l-4 -7z' })),
      text: 'A part has a note above the foreground’s highest note of that bar',
    },
    {
      sign: legendSign(element('path', { class: 'sign-level', d: 'M10 9.5h8' })),
      text: 'A part’s highest note is the foreground’s, or up to a whole tone lower',
    },
  );
  return entries;
}
