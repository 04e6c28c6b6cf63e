import { describe, expect, it } from 'vitest';
import { groupedBy } from '../../src/model/grouped.ts';

describe('groups', () => {
  it('keep keys and items in their first order', () => {
    expect([...groupedBy(['flute', 'viola', 'fife', 'violin'], (name) => name[0])]).toEqual([
      ['f', ['flute', 'fife']],
      ['v', ['viola', 'violin']],
    ]);
  });
});
