/** The map of a piece: where a conductor finds a tempo that lasts. */
import { expect, it } from 'vitest';
import { mapTable } from '../../src/publish/page-data/charts/map-table.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';

function barsOf(...tempos: readonly number[]): readonly string[] {
  const plain = timelineOf(tempos.length);
  const timeline = { ...plain, bars: plain.bars.map((bar, index) => ({ ...bar, tempo: tempos[index] ?? bar.tempo })) };
  const { rows } = mapTable(stageOf([partOf('flute', 'C5:0:4', timeline)], timeline), []);
  return rows.map(([bar]) => (bar ?? []).map((run) => ('text' in run ? run.text : '')).join(''));
}

it('has a row for a tempo that lasts, though it is a small step from the row above', () => {
  expect(barsOf(132, 132, 132, 124, 144, 144, 144, 144, 144)).toEqual(['1', '5']);
  expect(barsOf(132, 132, 132, 124, 134, 134, 134, 134, 134)).toEqual(['1']);
});

it('has none for the give and take of a rubato', () => {
  expect(barsOf(132, 138, 126, 140, 130, 124, 136, 132)).toEqual(['1']);
  expect(barsOf(132, 132, 100, 132, 132, 132, 132)).toEqual(['1', '3', '4']);
});
