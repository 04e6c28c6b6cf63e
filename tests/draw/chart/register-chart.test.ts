import { describe, expect, it } from 'vitest';
import { frontOf } from '../../../src/draw/chart/frame/front.ts';
import { drawRegister } from '../../../src/draw/chart/register/register-chart.ts';
import { octavesIn, registerBookOf } from '../../../src/draw/chart/register/register-scale.ts';
import type { RegisterReading } from '../../../src/model/readings/readings.ts';
import { leadSpan, partOf, stageOf, timelineOf } from '../../support/arrangement.ts';
import { ensembleOf, fullReadings, numbersIn, pageOf, readingsOf } from './small-stage.ts';

const timeline = timelineOf(4);
const flute = partOf('flute', '', timeline, { id: 'flute', name: 'Flute' });
const solo = partOf('violin', '', timeline, { id: 'solo', name: 'Solo', role: 'foreground' });
const cello = partOf('cello', '', timeline, { id: 'cello', name: 'Cello' });
const stage = stageOf([flute, solo, cello], timeline);

function reading(partId: string, bar: number, low: number, high: number): RegisterReading {
  return { partId, bar, low, high, centre: (low + high) / 2 };
}

const register = [
  ...[1, 2, 3, 4].map((bar) => reading('solo', bar, 67, 74)),
  reading('flute', 1, 70, 76),
  reading('flute', 2, 70, 74),
  reading('flute', 3, 70, 72),
  reading('flute', 4, 60, 71),
  ...[1, 2, 3, 4].map((bar) => reading('cello', bar, 40, 48)),
];
const readings = readingsOf({ register });

describe('where a part sits against the foreground', () => {
  const book = registerBookOf(stage, readings, frontOf(stage));

  it('is above with a higher note, level with the same note or one up to a whole tone lower, else below', () => {
    expect([1, 2, 3, 4].map((bar) => book.placeOf('flute', bar))).toEqual(['above', 'level', 'level', undefined]);
    expect(book.placeOf('cello', 1)).toBeUndefined();
    expect(book.placeOf('solo', 1)).toBeUndefined();
  });

  it('is said in one sentence', () => {
    expect(drawRegister(stage, readings).description).toBe(
      'Solo moves within G4–D5; Flute rises above its highest note in bar 1.',
    );
    const low = readingsOf({ register: register.filter((item) => item.partId !== 'flute') });
    expect(drawRegister(stage, low).description).toBe(
      'Solo moves within G4–D5, and no other part goes above its highest note of the same bar; single notes of it may still lie under another part.',
    );
  });

  it('is marked above the bar in the part’s own strip and in the row of the ensemble', () => {
    const page = pageOf(drawRegister(stage, readings).svg);
    expect(page.querySelectorAll('[data-part="flute"] .sign-above')).toHaveLength(1);
    expect(page.querySelectorAll('[data-part="cello"] .sign-above')).toHaveLength(0);
    expect(page.querySelectorAll('.sign-above')).toHaveLength(2);
  });
});

describe('the axis of pitch', () => {
  it('has a line at every C, middle C being key 60 and C4 (key numbers of MIDI 1.0)', () => {
    expect(octavesIn(35, 73)).toEqual([36, 48, 60, 72]);
    const ticks = [...pageOf(drawRegister(stage, readings).svg).querySelectorAll('.chart-gutter .tick')];
    expect(ticks.map((node) => node.textContent)).toContain('C4');
  });

  it('sets higher notes higher, and a semitone equally high for every part', () => {
    const page = pageOf(drawRegister(stage, readings).svg);
    const heights = ['flute', 'cello'].map((id) => {
      const ys = [
        ...page
          .querySelector(`[data-part="${id}"] .band`)!
          .getAttribute('d')!
          .matchAll(/(?:V|M[\d.]+ )([\d.]+)/g),
      ].map((match) => Number(match[1]));
      return Math.max(...ys) - Math.min(...ys);
    });
    // Flute: 60..76, 17 semitones with half a semitone at each end; cello: 40..48, 9.
    expect(heights[0]! / heights[1]!).toBeCloseTo(17 / 9, 1);
  });
});

describe('the foreground in the register chart', () => {
  it('is told apart without colour: a filled band with a heavy edge, in front of hatched ones', () => {
    const svg = drawRegister(stage, readings).svg;
    const ensemble = pageOf(svg).querySelector('.chart-plot')!;
    expect(ensemble.querySelectorAll('.front .front-edge')).toHaveLength(1);
    for (const band of ensemble.querySelectorAll('.band')) expect(band.getAttribute('fill')).toMatch(/^url\(#/);
    expect(svg.indexOf('class="front"')).toBeGreaterThan(svg.indexOf('data-family="strings"'));
  });

  it('leaves its place among the background where somebody else takes over', () => {
    const shared = stageOf([flute, solo, cello], timeline, {
      foreground: [leadSpan('solo', 1, 2), leadSpan('flute', 3, 4)],
    });
    const book = registerBookOf(shared, readings, frontOf(shared));
    expect(book.frontAt(1)).toEqual({ low: 67, high: 74 });
    expect(book.frontAt(4)).toEqual({ low: 60, high: 71 });
    expect(book.placeOf('solo', 4)).toBe('above');
    expect(drawRegister(shared, readings).description).toContain('The foreground');
  });
});

describe('the table of registers', () => {
  it('gives the lowest, highest and mean pitch of each part in each bar', () => {
    const { table, csv } = drawRegister(stage, readings);
    expect(table.columns.map((column) => column.label)).toEqual(['Bar', 'Flute', 'Solo', 'Cello']);
    expect(table.rows[0]).toEqual(['1', 'B♭4–E5 (C♯5)', 'G4–D5 (B4)', 'E2–C3 (A♭2)']);
    expect(csv.rows).toHaveLength(register.length);
    expect(csv.rows[0]).toEqual(['flute', 'Flute', 1, 70, 76, 73]);
  });

  it('goes by families where parts would need more columns than a page has', () => {
    const large = ensembleOf(24, 4);
    const { table, csv } = drawRegister(large, fullReadings(large));
    expect(table.columns.length).toBeLessThan(12);
    expect(table.columns[1]!.label).toBe('Foreground');
    expect(new Set(csv.rows.map((row) => row[0])).size).toBe(24);
  });
});

describe('unpitched parts', () => {
  it('have no register and no strip', () => {
    const drum = partOf('snare-drum', '', timeline, { id: 'drum', unpitched: true });
    const drawn = drawRegister(stageOf([drum], timeline), readingsOf());
    expect(drawn.svg).toBe('');
    expect(drawn.description).toBe('No part of this stage has a pitch, so there is no register to show.');
  });
});

describe('coordinates', () => {
  it('stay within the drawing', () => {
    for (const svg of pageOf(drawRegister(stage, readings).svg).querySelectorAll('svg.chart-plot')) {
      const [left = 0, , width = 0] = numbersIn(svg.getAttribute('viewBox'));
      for (const rect of svg.querySelectorAll('[data-bar]')) {
        expect(Number(rect.getAttribute('x'))).toBeGreaterThanOrEqual(left);
        expect(Number(rect.getAttribute('x')) + Number(rect.getAttribute('width'))).toBeLessThanOrEqual(left + width);
      }
    }
  });
});

describe('the names beside the strips', () => {
  const namesOf = (...names: string[]): (string | null)[] => {
    const parts = names.map((name, index) =>
      partOf('violin', '', timeline, { id: `p${index}`, name, abbreviation: `Vn ${index + 1}` }),
    );
    const drawing = drawRegister(
      stageOf(parts, timeline),
      readingsOf({ register: parts.map(({ id }) => reading(id, 1, 60, 67)) }),
    );
    const labels = [...pageOf(drawing.svg).querySelectorAll('.chart-gutter .label')].map((node) => node.textContent);
    return labels.slice(-names.length);
  };

  it('are whole where all find room, and short for all where one does not', () => {
    expect(namesOf('Violin I', 'Violin II')).toEqual(['Violin I', 'Violin II']);
    expect(namesOf('Violin I', 'Violin II of the second orchestra')).toEqual(['Vn 1', 'Vn 2']);
  });
});
