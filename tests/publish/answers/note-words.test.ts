/** What a note is called in a line beside a finding or a system. */
import { describe, expect, it } from 'vitest';
import { topicOf } from '../../../src/publish/answers/note-words.ts';

const memo = {
  file: 'n.md',
  line: 1,
  markdown: 'Hier dürfen die Zweiten mal was Eigenes.',
  partIds: [],
  kind: 'remark',
} as const;

describe('a note whose heading says where it belongs', () => {
  it.each([
    'Bars 35-38, second mandolins',
    'Takte 35-38, zweite Mandolinen',
    'Takt 5',
    'Mesures 9 à 12',
    'Battute 3-4, archi',
    'T. 7',
  ])('is told by its text, not by %s', (heading) => {
    expect(topicOf({ ...memo, heading })).toBe('Hier dürfen die Zweiten mal was Eigenes.');
  });

  it('is told by its heading where that names a thing', () => {
    expect(topicOf({ ...memo, heading: 'Sommerkonzert, Walzer' })).toBe('Sommerkonzert, Walzer');
  });
});
