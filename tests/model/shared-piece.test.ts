/** Of two threads the one that begins a piece of work first does it, and nobody does it twice. */
import { expect, it } from 'vitest';
import { begins, noneBegun, pieceOf } from '../../src/model/shared-piece.ts';

it('only one of two begins a piece', () => {
  const begun = noneBegun(2);
  expect([begins(begun, 1), begins(begun, 1), begins(begun, 0)]).toEqual([true, false, true]);
});

it('what is taken over is made at once, once, and waits for nobody', async () => {
  let count = 0;
  const begun = noneBegun(1);
  const piece = pieceOf(() => ++count, { given: new Promise(() => undefined), begin: () => begins(begun, 0) });
  const asked = piece.made();
  expect(count).toBe(0);
  piece.takeOver();
  piece.takeOver();
  expect(count).toBe(1);
  expect([await asked, await piece.made()]).toEqual([1, 1]);
});

it('what another thread has begun is not taken over', async () => {
  const begun = noneBegun(1);
  let count = 0;
  const make = (): string => `here ${String(++count)}`;
  const piece = pieceOf(make, { given: Promise.resolve('there'), begin: () => begins(begun, 0) });
  begins(begun, 0);
  piece.takeOver();
  expect([await piece.made(), count]).toEqual(['there', 0]);
});

it('what does not come from another thread is made here', async () => {
  const piece = pieceOf(() => 'here', { given: Promise.resolve(undefined), begin: () => false });
  expect(await piece.made()).toBe('here');
});

it('what cannot be made here says so to everybody who asks', async () => {
  const piece = pieceOf((): string => {
    throw new Error('no');
  });
  await expect(piece.made()).rejects.toThrow('no');
  await expect(piece.made()).rejects.toThrow('no');
});
