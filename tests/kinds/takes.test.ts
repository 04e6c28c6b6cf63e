/** The same music played again with fresh scatter is the same score. */
import { describe, expect, it } from 'vitest';
import { differingBars } from '../support/kind-takes.ts';
import { KINDS } from './folders.ts';

/** Short chords of a guitar that a hand damps, stabs at the ends of rows, marcato of an accordion, breaths of a band's long notes, repeated sixteenths of strings, pads and pianos
 * whose chords come down in any order, a track copied by hand, chords that a mandolin chops, a bass that lets go of the last chord before the others. */
const PLAYED_AGAIN = [
  'soul-band',
  'guitar-and-strings',
  'tango-acordeon',
  'lied-quartet',
  'orchestral-export',
  'synth-score',
  'ballad',
  'trumpet-ballad',
  'ska-band',
  'bluegrass',
  'akkordeon-quintett',
];
const TAKES = 4;

describe('a folder played again with fresh scatter', () => {
  it.each(KINDS.filter(({ id }) => PLAYED_AGAIN.includes(id)).map((folder) => [folder.id, folder] as const))(
    'is written alike in every bar of every part: %s',
    async (_, folder) => {
      const { differing, all } = await differingBars(folder, TAKES);
      expect(all).toBeGreaterThan(80);
      expect(differing).toEqual([]);
    },
  );
});
