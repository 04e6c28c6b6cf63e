import { expect, it } from 'vitest';
import { differences, figuresOf, keptFigures, keptMeasures } from './kept-figures.ts';

it('the figures of a line are its shares, named by what stands before them, or its counts', () => {
  const lines = [
    { on: 'songs, 90 to the minute', text: '0 ms 100.00 %, 20 ms 99.51 %' },
    { on: 'names', text: '98.84 % of 1295; asked 6, wrong without a question 9' },
    { on: 'stage 1', text: 'roots 97.20 %, basses -' },
  ];
  expect(figuresOf(lines)).toEqual({
    'songs, 90 to the minute: 0 ms': 100,
    'songs, 90 to the minute: 20 ms': 99.51,
    names: 98.84,
    'names: asked': 6,
    'names: wrong without a question': 9,
    'stage 1: roots': 97.2,
  });
});

it('what rose, fell, came or went is told, and nothing of what stayed', () => {
  const kept = { roots: 97.2, basses: 98, symbols: 90, old: 1 };
  expect(differences(kept, { roots: 97.2, basses: 98.5, symbols: 89.9, added: 3 })).toEqual([
    'rose  basses: 98 to 98.5 (by 0.50)',
    'fell  symbols: 90 to 89.9 (by 0.10)',
    'gone  old: was 1',
    'new   added: 3',
  ]);
});

it('every kept file has figures', () => {
  expect(keptMeasures().length).toBeGreaterThan(4);
  for (const measure of keptMeasures()) {
    const figures = Object.values(keptFigures(measure));
    expect(figures.length, measure).toBeGreaterThan(0);
    expect(figures.every(Number.isFinite), measure).toBe(true);
  }
});
