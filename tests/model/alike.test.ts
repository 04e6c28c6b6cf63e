import { describe, expect, it } from 'vitest';
import { heldOnce, isAlike } from '../../src/model/alike.ts';

const NOTE = { midi: 60, startQuarters: 0.25, words: ['la', undefined], byBeat: new Map([[1, new Set([2, 3])]]) };

describe('plain data that says the same', () => {
  it('is alike wherever it was made', () => {
    expect(isAlike(NOTE, structuredClone(NOTE))).toBe(true);
  });

  it.each([
    ['another number', { ...NOTE, startQuarters: 0.25 + Number.EPSILON }],
    ['a number more', { ...NOTE, velocity: 1 }],
    ['a number less', { midi: 60, startQuarters: 0.25 }],
    ['minus nothing', { ...NOTE, midi: -0 }],
    ['another word', { ...NOTE, words: ['la', 'la'] }],
    ['a word less', { ...NOTE, words: ['la'] }],
    ['another beat', { ...NOTE, byBeat: new Map([[1, new Set([2, 4])]]) }],
    ['a list for a set', { ...NOTE, byBeat: new Map([[1, [2, 3]]]) }],
    ['another order', Object.fromEntries(Object.entries(NOTE).reverse())],
  ])('is not alike with %s', (_, other) => {
    expect(isAlike(NOTE, other)).toBe(false);
    expect(isAlike(other, NOTE)).toBe(false);
  });

  it('is held once, and what is new is kept as it is', () => {
    const [same, other] = [structuredClone(NOTE), { ...NOTE, midi: 61 }];
    expect(heldOnce(same, NOTE)).toBe(NOTE);
    expect(heldOnce(other, NOTE)).toBe(other);
    expect(heldOnce(NOTE, undefined)).toBe(NOTE);
  });
});
