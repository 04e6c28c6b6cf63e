import { describe, expect, it } from 'vitest';
import { instrumentById } from '../../src/model/music/catalogue.ts';
import type { JudgedName } from '../support/track-names.ts';
import { isNameKeptAside, judgeName, namedTracks } from '../support/track-names.ts';

const judged = namedTracks().map(judgeName);
const halves: readonly (readonly [string, readonly JudgedName[]])[] = [
  ['looked at while words and weights were set', judged.filter(({ name }) => !isNameKeptAside(name))],
  ['kept aside', judged.filter(({ name }) => isNameKeptAside(name))],
];

describe('the table of track names', () => {
  it('has well over 800 rows in four languages, each with an instrument of the catalogue', () => {
    expect(judged.length).toBeGreaterThan(800);
    const ids = new Set(judged.flatMap(({ instruments }) => instruments.map((one) => one.replace(/@.*/, ''))));
    for (const id of ids) if (id !== 'unknown') expect(instrumentById(id)?.id).toBe(id);
  });

  it.each(halves)('of the names %s at least 98 in 100 are right', (_, names) => {
    const right = names.filter(({ verdict }) => verdict === 'right').length;
    expect(right / names.length).toBeGreaterThanOrEqual(0.98);
  });

  it.each(halves)('of the names %s at most one in a hundred is wrong without a question', (_, names) => {
    const wrong = names.filter(({ verdict }) => verdict === 'wrong');
    expect(wrong.length / names.length, wrong.map(({ name, taken }) => `${name}: ${taken}`).join(', ')).toBeLessThan(
      0.01,
    );
  });
});
