import { describe, expect, it } from 'vitest';
import { gatherLeftOut } from '../../src/notate/reduction/cues.ts';

describe('what was left out', () => {
  it('is said once for all players of whom the same is missing', () => {
    expect(gatherLeftOut(['octave of Fl', 'inner line of Cl', 'octave of Hn, Fl', 'octave of Fl'])).toEqual([
      'octave of Fl, Hn',
      'inner line of Cl',
    ]);
  });
  it('stays as it is where it names nobody', () => {
    expect(gatherLeftOut(['Perc (unpitched, left out throughout)'])).toEqual(['Perc (unpitched, left out throughout)']);
  });

  it('keeps the numbers of desks with their names, in order, and loses none', () => {
    expect(
      gatherLeftOut(['octave of Tpt 1, 2', 'octave of Timp, Hn 2, 1', 'octave of Vn 2', 'octave of Tpt 2']),
    ).toEqual(['octave of Tpt 1, 2, Timp, Hn 1, 2, Vn 2']);
  });
});
