/** Where a staff changes its clef. "Gould": E. Gould, Behind Bars (2011), on changes of clef, from memory. */
import { describe, expect, it } from 'vitest';
import type { Clef } from '../../src/model/music/instrument.ts';
import { clefsOfStaff } from '../../src/notate/clefs-and-signatures/choose-clefs.ts';
import { scoreTimeOf } from '../../src/notate/score-time/score-time.ts';
import { timelineOf } from '../support/arrangement.ts';
import { scoreOf, staffInfo } from '../support/score.ts';

const LOW = 'C3:4 E3:4 G3:4 E3:4';
const HIGH = 'E4:8 G4:8 A4:8 C5:8 B4:8 A4:8 G4:8 E4:8';

/** Clefs bar by bar: the one at the start, then those inside with the quarter where they come (1 is the first). */
function clefsOf(
  bars: readonly (readonly string[])[],
  choices: readonly Clef[],
  place: 'alone' | 'braced' | 'shared' | 'ensemble' = 'alone',
): string[] {
  const score = scoreOf(
    [staffInfo('cello', choices[0] ?? 'bass')],
    bars.map((voices) => ({ staves: [voices] })),
  );
  const time = scoreTimeOf(timelineOf(bars.length).bars);
  const staff = score.bars.map((bar) => bar.staves[0]?.voices ?? []);
  return clefsOfStaff(time.bars, staff, choices, place).map(({ clef, clefChanges }, index) => {
    const changes = clefChanges.map(
      (change) => `${change.clef}@${String((change.start - (time.bars[index]?.start ?? 0)) / 480 + 1)}`,
    );
    return [clef, ...changes].join(' ');
  });
}

describe('the clef of a cello', () => {
  it('changes at the bar line where the tune goes up for bars', () => {
    expect(clefsOf([[LOW], [HIGH], [HIGH], [LOW], [LOW]], ['bass', 'treble'])).toEqual([
      'bass',
      'treble',
      'treble',
      'bass',
      'bass',
    ]);
  });

  it('changes inside the bar, on the beat where the tune goes up', () => {
    const rising = 'C2:4 E2:4 A4:8 C5:8 B4:8 A4:8';
    expect(clefsOf([[LOW], [rising], [HIGH], [LOW]], ['bass', 'treble'])).toEqual([
      'bass',
      'bass treble@3',
      'treble',
      'bass',
    ]);
  });

  it('stays for a high note or two: ledger lines are read sooner than two changes (Gould)', () => {
    const touch = 'C3:4 G3:4 E4:4 G3:4';
    expect(clefsOf([[LOW], [touch], [LOW]], ['bass', 'treble'])).toEqual(['bass', 'bass', 'bass']);
  });

  it('never changes while the other voice holds a note over the place, nor inside a tuplet', () => {
    const held = ['h:2 A4:8 C5:8 D5:8 E5:8', 'C2:1'];
    const tuplet = ['C2:4 (3:2 C2:4 A4:4 C5:4 ) E5:4'];
    for (const bar of [held, tuplet]) {
      const [, clefs = ''] = clefsOf([[LOW], bar, [HIGH], [HIGH]], ['bass', 'treble']);
      expect(clefs).not.toMatch(/@3/);
    }
  });

  it('never changes at the second note of a tie inside a bar', () => {
    const tied = 'C2:4 E2:8 A4:8~ A4:8 C5:8 D5:8 E5:8';
    expect(clefsOf([[LOW], [tied], [HIGH], [HIGH]], ['bass', 'treble'])[1]).not.toMatch(/@3/);
  });

  it('is the usual one where nothing is played', () => {
    expect(clefsOf([['R'], ['R']], ['tenor', 'bass'])).toEqual(['tenor', 'tenor']);
  });
});

describe('the clef of the upper staff of an ensemble', () => {
  it('stays treble where the notes lie about middle C, a few ledger lines below', () => {
    const middle = 'r:4 A3+D4:4 A3+D4:4 r:4';
    expect(
      clefsOf(
        Array.from({ length: 8 }, () => [middle]),
        ['treble', 'bass'],
        'ensemble',
      ),
    ).toEqual(Array.from({ length: 8 }, () => 'treble'));
  });

  it('goes into the bass clef where the hand stays far below the staff', () => {
    const far = 'C3+G3:4 C3+F3:4 D3+G3:4 C3+E3:4';
    const clefs = clefsOf([[HIGH], [far], [far], [far], [HIGH], [HIGH]], ['treble', 'bass'], 'ensemble');
    expect(clefs).toEqual(['treble', 'bass', 'bass', 'bass', 'treble', 'treble']);
  });
});

describe('ledger lines', () => {
  it('are those of a chord, not of each of its notes: four notes below the staff are no reason to change that two are not', () => {
    const [two, four] = ['A3+C4', 'A3+B3+C4+D4'].map((chord) => `${chord}:4 ${chord}:4 r:2`);
    for (const bar of [two, four]) {
      expect(clefsOf([['C5:1'], [bar ?? ''], [bar ?? ''], ['C5:1']], ['treble', 'bass'])).toEqual(
        Array.from({ length: 4 }, () => 'treble'),
      );
    }
  });
});

describe('a staff that winds share in short score', () => {
  it('keeps its clef for two bars of afterbeats of the trombone, which alone has the bass clef', () => {
    const afterbeat = 'r:4 F3:8 r:8 r:4 F3:8 r:8';
    const music = [[HIGH], [afterbeat], [afterbeat], [HIGH]];
    expect(clefsOf(music, ['treble', 'bass'], 'shared')).toEqual(Array.from({ length: 4 }, () => 'treble'));
    expect(clefsOf(music, ['treble', 'bass'])).toEqual(['treble', 'bass', 'bass', 'treble']);
  });
});
