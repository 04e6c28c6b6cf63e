/** Names beside staves and charts, where there is little room. */
import { expect, it } from 'vitest';
import { fitName } from '../../src/draw/ruler/wording.ts';

/** Room for so many letters of a size: a letter is about 0.54 of its size wide. */
const room = (letters: number): number => letters * 5.41;
const fitted = (name: string, letters: number): string => fitName(name, room(letters), 10);

it('keep the number of a player or desk', () => {
  expect(fitted('Clarinet in B flat 2', 14)).toBe('Clarinet in… 2');
  expect(fitted('Violin II', 9)).toBe('Violin II');
});

it('are not cut in their closing bracket: what is in it is cut, or all of it left out', () => {
  expect(fitted('Viol. I (Stehgeiger)', 16)).toBe('Viol. I (Stehg…)');
  expect(fitted('Voice (mezzo-soprano)', 9)).toBe('Voice');
  expect(fitted('Singstimme (Sopran)', 12)).toBe('Singstimme');
});
