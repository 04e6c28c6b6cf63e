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
  expect([count, piece.isHere()]).toEqual([0, false]);
  piece.takeOver();
  piece.takeOver();
  expect([count, piece.isHere()]).toEqual([1, true]);
  expect([await asked, await piece.made()]).toEqual([1, 1]);
});

it('what another thread has begun is not taken over', async () => {
  const begun = noneBegun(1);
  const piece = pieceOf(() => 'here', { given: Promise.resolve('there'), begin: () => begins(begun, 0) });
  begins(begun, 0);
  piece.takeOver();
  expect([await piece.made(), piece.isHere()]).toEqual(['there', false]);
});

it('what does not come from another thread is made here', async () => {
  const piece = pieceOf(() => 'here', { given: Promise.resolve(undefined), begin: () => false });
  expect([await piece.made(), piece.isHere()]).toEqual(['here', true]);
});

it('what cannot be made here says so to everybody who asks', async () => {
  const piece = pieceOf((): string => {
    throw new Error('no');
  });
  await expect(piece.made()).rejects.toThrow('no');
  await expect(piece.made()).rejects.toThrow('no');
});
