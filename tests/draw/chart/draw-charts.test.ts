import { describe, expect, it } from 'vitest';
import { placeMarks } from '../../../src/draw/finding-marks/place-marks.ts';
import { drawCharts } from '../../../src/draw/chart/draw-charts.ts';
import type { ChartDrawing } from '../../../src/model/drawing.ts';
import type { Stage } from '../../../src/model/music/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../../support/arrangement.ts';
import { ensembleOf, fullReadings, pageOf, readingsOf } from './small-stage.ts';

const stage = ensembleOf(12, 48);
const charts = drawCharts(stage, fullReadings(stage));

function barPlaces(markup: string): string[] {
  return [...pageOf(markup).querySelectorAll('.chart-line')].flatMap((line, index) =>
    [...line.querySelectorAll('[data-bar]')].map(
      (rect) => `${index}: ${rect.getAttribute('data-bar')} ${rect.getAttribute('x')} ${rect.getAttribute('width')}`,
    ),
  );
}

function idsOf(markup: string): string[] {
  return [...pageOf(markup).querySelectorAll('[id]')].map((node) => node.id);
}

describe('the charts of a stage', () => {
  it('are a register chart, a map of entries and exits and a balance chart', () => {
    expect(charts.map((chart) => chart.id)).toEqual([
      'register-stage-01-test',
      'entries-stage-01-test',
      'balance-stage-01-test',
    ]);
  });

  it.each([
    [1, 0],
    [48, 0],
    [48, 1.5],
    [130, 0],
  ])('set every bar at the same x in each chart: %i bars, pickup of %d quarters', (bars, pickup) => {
    const other = ensembleOf(3, bars, pickup);
    const [register, entries, balance] = drawCharts(other, fullReadings(other));
    const expected = barPlaces(entries!.svg);
    expect(expected).toHaveLength(bars + (pickup > 0 ? 1 : 0));
    expect(barPlaces(balance!.svg)).toEqual(expected);
    // The register chart has two panels, each with all lines of the ruler.
    const panels = [...pageOf(register!.svg).querySelectorAll('.chart-scroll')].map((panel) => panel.outerHTML);
    expect(panels).toHaveLength(2);
    for (const panel of panels) expect(barPlaces(panel)).toEqual(expected);
  });

  it('have gutters and plots of one scale: their viewBoxes are as wide as the columns of the grid', () => {
    for (const svg of pageOf(charts.map((chart) => chart.svg).join('')).querySelectorAll('.chart-line')) {
      const boxes = [...svg.children].map((child) => child.getAttribute('viewBox')!.split(' ').map(Number));
      expect(boxes.map((box) => box[2])).toEqual([104, 696]);
      expect(boxes[0]![3]).toBe(boxes[1]![3]);
    }
  });

  it('are images with a title and a description for those who do not see them', () => {
    const page = pageOf(charts.map((chart) => chart.svg).join(''));
    for (const svg of page.querySelectorAll('svg.chart-plot')) {
      expect(svg.getAttribute('role')).toBe('img');
      const words = svg
        .getAttribute('aria-labelledby')!
        .split(' ')
        .map((id) => page.getElementById(id)!.textContent);
      expect(words).toHaveLength(2);
      for (const text of words) expect(text.length).toBeGreaterThan(5);
    }
  });

  it('use no style attribute, script or event handler', () => {
    for (const chart of charts) {
      const whole = chart.svg + chart.legend.map((entry) => entry.sign).join('');
      expect(whole).not.toMatch(/\sstyle=|<style|<script|\son[a-z]+=|href=/);
    }
  });

  it('give every element an id of its own, legends and second stages included', () => {
    const other = { ...stage, id: 'stage-02-test' };
    const all = [...charts, ...drawCharts(other, fullReadings(other))];
    const ids = all.flatMap((chart) => idsOf(chart.svg + chart.legend.map((entry) => entry.sign).join('')));
    expect(new Set(ids).size).toBe(ids.length);
  });

  it('refer only to patterns that they define', () => {
    const whole = charts.map((chart) => chart.svg + chart.legend.map((entry) => entry.sign).join('')).join('');
    const ids = new Set(idsOf(whole));
    const used = [...whole.matchAll(/url\(#([^)]+)\)/g)].map((match) => match[1]!);
    expect(used.length).toBeGreaterThan(10);
    for (const id of used) expect(ids.has(id)).toBe(true);
  });

  it('are the same, character by character, when drawn again', () => {
    expect(drawCharts(stage, fullReadings(stage))).toEqual(charts);
  });

  it('describe themselves in one sentence', () => {
    for (const chart of charts) expect(chart.description).toMatch(/^\p{Lu}[^\n]+\.$/u);
  });

  it('show the numbers of findings and notes as links, not those of accepted findings', () => {
    const finding = {
      rule: 'x',
      level: 'look',
      from: 3,
      to: 4,
      partIds: ['p1', 'p0'],
      message: '',
      advice: '',
      source: '',
    } as const;
    const memo = {
      file: 'a.md',
      line: 1,
      heading: 'Breathe',
      markdown: '',
      from: 2,
      partIds: [],
      kind: 'remark',
    } as const;
    const marks = placeMarks([finding, { ...finding, accepted: 'wanted' }, { ...finding, level: 'note' }], [memo]);
    for (const chart of drawCharts(stage, fullReadings(stage), marks)) {
      const links = [...pageOf(chart.svg).querySelectorAll('a')];
      const shown = links.map((link) => `${link.getAttribute('aria-label') ?? ''} ${link.getAttribute('href') ?? ''}`);
      for (const [name, href] of [
        ['Finding 1, bars 3–4', '#finding-1'],
        ['Finding 3, bars 3–4', '#finding-3'],
        ...(chart.id.startsWith('entries') ? ([['Note n1, bar 2: Breathe', '#note-1']] as const) : []),
      ] as const)
        expect(
          shown.some((text) => text.startsWith(name) && text.endsWith(href)),
          `${chart.id}: ${name}`,
        ).toBe(true);
      expect(shown.some((text) => text.endsWith('#finding-2'))).toBe(false);
      // A link inside a picture would be hidden from those who do not see it.
      for (const link of links) expect(link.closest('[role="img"], [aria-hidden="true"]')).toBeNull();
    }
  });

  it('mark every part that a finding names, on the map', () => {
    const finding = { rule: 'x', level: 'look', from: 3, to: 4, message: '', advice: '', source: '' } as const;
    const map = drawCharts(stage, fullReadings(stage), placeMarks([{ ...finding, partIds: ['p1', 'p0'] }], []))[1]!;
    expect(pageOf(map.svg).querySelectorAll('.place.f1')).toHaveLength(2);
    expect(pageOf(map.svg).querySelectorAll('#map-f1')).toHaveLength(1);
  });
});

describe('the limit of the balance in the settings', () => {
  const duo = ensembleOf(2, 4);
  const readings = fullReadings(duo, (part) => (part.id === 'p0' ? 80 : 75));

  it('widens what counts as close; one under nothing leaves the chart as it is', () => {
    const describe = (limit: number): string =>
      drawCharts(duo, readings, [], { 'background-as-loud': limit })[2]!.description;
    expect(describe(6)).toContain('by less than 6 dB in bars 1–4');
    expect(describe(-2)).toContain('at least 3 dB above');
  });
});

describe('charts of nothing', () => {
  const timeline = timelineOf(4);
  it.each<[string, Stage]>([
    ['no parts', stageOf([], timeline)],
    ['a part without notes', stageOf([partOf('flute', '', timeline)], timeline)],
    ['no bars', stageOf([partOf('flute', '', timelineOf(0))], timelineOf(0))],
  ])('are a sentence and no picture: %s', (_, empty) => {
    for (const chart of drawCharts(empty, readingsOf())) {
      expect(chart.svg).toBe('');
      expect(chart.legend).toEqual([]);
      expect(chart.table.rows).toEqual([]);
      expect(chart.description).toMatch(/^\p{Lu}[^\n]+\.$/u);
    }
  });
});

describe('hostile names', () => {
  const names = [
    '</script><script>alert(1)</script>'.repeat(9),
    '"\'><img src=x onerror=alert(1)>',
    '\u202Eevil \u0000\uD800',
    'كمان أول',
    '   ',
  ];
  const timeline = timelineOf(6);
  const parts = names.map((name, index) =>
    partOf(index === 0 ? 'violin' : 'flute', '', timeline, { id: `p${index}`, name }),
  );
  const hostile = stageOf(parts, timeline, { sections: [{ name: '<b>A&B</b>', from: 1, to: 6 }] });
  const drawn: readonly ChartDrawing[] = drawCharts(hostile, fullReadings(hostile));

  it('stay text', () => {
    for (const chart of drawn) {
      const page = pageOf(chart.svg + chart.legend.map((entry) => entry.sign).join(''));
      expect(page.querySelectorAll('script, img, b')).toHaveLength(0);
      expect(page.querySelector('text.section-name')!.textContent).toBe('<b>A&B</b>');
    }
  });

  it('are well-formed XML', () => {
    for (const chart of drawn) {
      const { DOMParser } = pageOf('').defaultView!;
      const parsed = new DOMParser().parseFromString(`<div>${chart.svg}</div>`, 'application/xml');
      expect(parsed.querySelector('parsererror')).toBeNull();
    }
  });

  it('are cut to the room there is and cannot turn the text around them', () => {
    const labels = [...pageOf(drawn[1]!.svg).querySelectorAll('.chart-gutter .label')].map((node) => node.textContent);
    expect(labels).toHaveLength(5);
    for (const label of labels) expect(Array.from(label).length).toBeLessThan(20);
    expect(drawn.map((chart) => chart.svg + chart.description).join('')).not.toMatch(/[\u202A-\u202E]/);
  });

  it('are replaced by the instrument where they are blank', () => {
    const labels = [...pageOf(drawn[1]!.svg).querySelectorAll('.chart-gutter .label')].map((node) => node.textContent);
    expect(labels[4]).toBe('Flute');
  });
});

describe('a huge stage', () => {
  it('of 1000 bars and 40 parts is drawn in a few seconds, with paths by the part and not by the bar', () => {
    const huge = ensembleOf(40, 1000);
    const readings = fullReadings(huge, (part, bar) => 60 + ((part.id.length * 7 + bar * 13) % 30));
    const start = process.cpuUsage();
    const drawn = drawCharts(huge, readings);
    const spent = process.cpuUsage(start);
    // Aim: 2 s on an idle machine. The bound is wider because the processor's time grows on a busy one, by up to ten times.
    expect((spent.user + spent.system) / 1e6).toBeLessThan(20);
    const lines = Math.ceil(1000 / 64);
    const paths = drawn[1]!.svg.match(/<path/g)!.length;
    expect(paths).toBeLessThan(lines * 40 * 8);
    expect(drawn[1]!.svg.match(/<rect data-bar/g)).toHaveLength(1000);
  });
});
