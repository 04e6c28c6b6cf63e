/** Short lines that are cut out of long ones. */
import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import type { EngravedSystem } from '../../src/model/drawing.ts';
import { withShortLines } from '../../src/publish/page-data/score/short-lines.ts';

const bars = [0, 1, 2, 3, 4, 5].map((index) => ({ number: index + 1, xPx: 100 + index * 180, widthPx: 180 }));
const long: EngravedSystem = {
  svg: '<svg class="sn" viewBox="0 0 1200 300"><path d="M100 10H1180"/></svg>',
  label: 'Bars 1 to 6',
  bars,
  staves: [{ topPx: 100, bottomPx: 140, partIdsByBar: bars.map(() => ['flute']) }],
  widthPx: 1200,
  heightPx: 300,
  narrow: [],
  fromBar: 1,
  toBar: 6,
  doublings: [],
  leftOut: [],
};

describe('a long line without short ones of its own', () => {
  const [{ svg, narrow } = long] = withShortLines([long], 'system');

  it('is cut at bar lines, every bar whole in one short line, in order', () => {
    expect(narrow.map((line) => line.bars.map((bar) => bar.number))).toEqual([
      [1, 2, 3],
      [4, 5, 6],
    ]);
    for (const line of narrow) {
      expect(line.widthPx).toBeLessThan(700);
      for (const bar of line.bars) {
        expect(bar.xPx).toBeGreaterThanOrEqual(97);
        expect(bar.xPx + bar.widthPx).toBeLessThanOrEqual(line.widthPx);
      }
    }
  });

  it('shows the same drawing, the names of the parts at the head of each line', () => {
    const page = new JSDOM(`${svg}${narrow.map((line) => line.svg).join('')}`).window.document;
    expect(page.querySelector('svg > g#system-1 > path')).not.toBeNull();
    const lines = [...page.querySelectorAll('svg.sn')].slice(1);
    expect(lines.map((line) => line.getAttribute('aria-label'))).toEqual(['bars 1–3', 'bars 4–6']);
    const windows = lines.map((line) =>
      [...line.querySelectorAll('svg')].map((one) => one.getAttribute('viewBox')!.split(' ').map(Number)),
    );
    for (const [names, music] of windows) expect(names![0]! + names![2]!).toBeLessThanOrEqual(music![2]!);
    expect(windows.map(([names]) => names)).toEqual([
      [0, 0, 98, 300],
      [0, 0, 98, 300],
    ]);
    // The fourth bar begins at 100 + 3 · 180.
    expect(windows[1]![1]![0]).toBe(630);
    expect([...page.querySelectorAll('use')].every((one) => one.getAttribute('href') === '#system-1')).toBe(true);
  });
});

describe('what needs no cutting', () => {
  it('stays as it is: lines with short ones engraved, and lines of one bar', () => {
    const engraved = { ...long, narrow: [long] };
    const single = { ...long, bars: bars.slice(0, 1) };
    expect(withShortLines([engraved, single], 'system')).toEqual([engraved, single]);
  });
});
