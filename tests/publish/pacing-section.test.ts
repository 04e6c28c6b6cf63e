/** The pacing as its reader finds it: sentences with bars, and the numbers behind them. */
import { JSDOM } from 'jsdom';
import { beforeAll, describe, expect, it } from 'vitest';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import { drawCharts } from '../../src/draw/chart/draw-charts.ts';
import { renderPages } from '../../src/publish/render/render-pages.ts';
import { figure } from '../advise/stage-findings.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { testEffects } from '../support/effects.ts';
import { publishedOf, smallDossier, writtenOf } from '../support/published.ts';

const timeline = timelineOf(16);
let page: Document;
let numbers: Document;

beforeAll(async () => {
  const tune = partOf('trumpet-bflat', `${figure('C5 E5', 1, 1, 7)} ${figure('C5 E5', 1, 9, 16)}`, timeline, {
    role: 'foreground',
    name: 'Trumpet <b>',
  });
  const oboe = partOf('oboe', figure('E5', 1, 11, 12), timeline);
  const bassoon = partOf('bassoon', figure('C3', 1, 9, 16), timeline);
  const sections = [
    { name: 'A', from: 1, to: 8 },
    { name: 'B', from: 9, to: 16 },
  ];
  const stage = stageOf([tune, oboe, bassoon], timeline, { sections });
  const written = writtenOf(stage);
  const readings = analyseStage(stage, written);
  const published = publishedOf(stage, { written, readings, charts: drawCharts(stage, readings) });
  const pages = await renderPages(
    smallDossier({ stages: [published], changes: [] }),
    { singleFile: false },
    testEffects(),
  );
  [page, numbers] = ['index.html', 'numbers.html'].map(
    (name) => new JSDOM(pages.find(({ fileName }) => fileName === name)!.html).window.document,
  ) as [Document, Document];
});

describe('pacing on the page', () => {
  it('is argued in sentences whose bars lead to the score', () => {
    const sentences = [...page.querySelectorAll('#entries .pacing li')].map((item) => item.textContent);
    // The trumpet after the general pause and the bassoon come with section B, the oboe two bars into it.
    expect(sentences[0]).toBe(
      'After the beginning there are 3 entries: 2 with a section and 1 with neither: Oboe in bar 11.',
    );
    expect(sentences[1]).toBe('The longest time without an entry is 32 s, from bar 1 to bar 9.');
    expect(sentences).toContain('Everybody rests in bar 8 (4.0 s).');
    expect(sentences.at(-1)).toBe('Oboe sounds least, in 2 bars.');
    expect(page.querySelector('#entries .pacing a')!.getAttribute('href')).toBe('#bar-11');
  });

  it('draws the silence as an event with its seconds, names the entries, and marks the peak', () => {
    const plot = page.querySelector('#entries svg.chart-plot')!;
    expect(plot.querySelectorAll('.silence-event')).toHaveLength(1);
    const texts = [...plot.querySelectorAll('text')].map((item) => item.textContent);
    expect(texts).toContain('4.0 s');
    expect(texts).toContain('Ob');
    expect(plot.querySelectorAll('.pacing-peak')).toHaveLength(1);
    expect(page.querySelector('#entries .chart-legend')!.textContent).toContain('Nobody sounds');
  });

  it('gives the numbers in tables: events in time, sections, rests, texture', () => {
    const tables = [...page.querySelectorAll('#entries .numbers-links a')].map((item) => item.textContent);
    expect(tables.slice(1)).toEqual([
      'Section against section (levels estimated)',
      'Entries, exits and silences in order of time',
      'Who rests how much',
      'The texture, step by step',
    ]);
    const events = [...numbers.querySelectorAll('#entries-more-2-table tbody tr')].map((row) =>
      [...row.children].slice(0, 3).map((cell) => cell.textContent),
    );
    expect(events).toContainEqual(['8', '0:28', 'Everybody rests']);
    expect(events).toContainEqual(['11', '0:40', 'Oboe comes in']);
    expect(page.querySelector('#entries b')).toBeNull();
    expect(numbers.querySelector('#numbers-entries b')).toBeNull();
  });
});
