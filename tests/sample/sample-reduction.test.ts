/** The reduced score of the sample against the parts as its composer wrote them down. */
import { beforeAll, describe, expect, it } from 'vitest';
import * as ensemble from '../../sample-input/ensemble.ts';
import { BARS, notesOf } from '../../sample-input/notation.ts';
import type { Stage } from '../../src/model/music/arrangement.ts';
import { midiOf } from '../../src/model/music/pitch.ts';
import type { WrittenStage } from '../../src/model/music/written.ts';
import { handSpans, unsaidLosses } from '../support/reduction-truth.ts';
import { sampleArrangement } from '../support/sample-truth.ts';
import { notated } from '../support/notated.ts';

const STRINGS = 1;
const COMPLETE = 3;
const EIGHTH = 240;
const ORIGIN = (BARS[0]?.length ?? 0) * EIGHTH;

let stages: readonly { readonly stage: Stage; readonly written: WrittenStage }[] = [];

beforeAll(async () => {
  stages = (await sampleArrangement()).stages.map((stage) => ({ stage, written: notated(stage) }));
});

function namesOf(stage: number, staffId: string): string[] {
  const { staves, bars } = stages[stage]!.written.reduced;
  const staff = staves.findIndex(({ id }) => id === staffId);
  return bars.flatMap((bar) =>
    bar.names.filter((name) => name.staff === staff).map((name) => `${String(bar.number)} ${name.text}`),
  );
}

/** The lowest that the heads of the ensemble say at each division where one is struck. */
function lowestHeads(stage: number): ReadonlyMap<number, number> {
  const { staves, bars } = stages[stage]!.written.reduced;
  const lowest = new Map<number, number>();
  for (const bar of bars) {
    const events = bar.staves.flatMap(({ voices }, index) =>
      staves[index]?.role === 'background' ? voices.flat() : [],
    );
    for (const { start, heads } of events) {
      for (const { pitch, sounds = [midiOf(pitch)] } of heads) {
        lowest.set(start, Math.min(lowest.get(start) ?? Infinity, ...sounds));
      }
    }
  }
  return lowest;
}

describe.each([1, 2, 3])('the reduction of stage %i (counted from 0)', (index) => {
  it('shows every note of the ensemble at its place, in its octave or by the name of who doubles it there, or says what it left out', () => {
    const { stage, written } = stages[index]!;
    expect(unsaidLosses(stage, written.parts, written.reduced)).toEqual([]);
  });

  it('leaves nothing out: four parts and their doublings go on two staves', () => {
    expect(stages[index]!.written.reduced.bars.flatMap((bar) => bar.leftOut)).toEqual([]);
  });

  it('has at most two voices on a staff', () => {
    const most = stages[index]!.written.reduced.bars.flatMap((bar) => bar.staves.map(({ voices }) => voices.length));
    expect(Math.max(...most)).toBeLessThanOrEqual(2);
  });

  // A tenth is the most that a hand is asked to hold; the octave of an outer line is left to the pedal (common practice, no source).
  it('can be played by two hands: no more than two bars ask for more than a tenth in one', () => {
    const { reduced } = stages[index]!.written;
    const wide = ['background-upper', 'background-lower'].flatMap((staff) =>
      [...handSpans(reduced, staff)].filter(([, span]) => span > 16),
    );
    expect(wide.length).toBeLessThanOrEqual(2);
  });
});

describe('the bass of the reduction', () => {
  it('is the cello of the script, or the basses an octave below it, bar after bar, while the strings are alone', () => {
    const lowest = lowestHeads(STRINGS);
    const basses = new Map(notesOf(ensemble.DOUBLE_BASS).map(({ start, midi }) => [start, midi]));
    const wrong = notesOf(ensemble.CELLO).flatMap((note) => {
      const found = lowest.get(note.start * EIGHTH - ORIGIN);
      const bass = Math.min(note.midi, basses.get(note.start) ?? Infinity);
      return found === bass ? [] : [`${String(note.bar)} ${note.name}: ${String(found)}`];
    });
    expect(wrong).toEqual([]);
  });

  // Script: cellos from 5, basses an octave below from 9, bassoon with the cellos from 13 and 21, in octaves with the basses 37-40.
  // Who else stands on the lower staff for some bars is named there too, and is no bass.
  it('is named where its players change, and not in every bar', () => {
    expect(namesOf(COMPLETE, 'background-lower').filter((name) => /Vc|D\.B\.|Bn/.test(name))).toEqual([
      '5 Vc',
      '9 Vc + D.B. 8vb',
      '13 Bn + Vc + D.B. 8vb',
      '17 Vc',
      '21 Bn + Vc + D.B. 8vb',
      '24 Vc + D.B. 8vb',
      '29 Vc',
      '33 Bn + Vc + D.B. 8vb',
      '37 Bn + D.B. 8vb',
      '41 Bn + Vc + D.B. 8vb',
      '43 Vc',
      '46 Bn + Vc + D.B. 8vb',
    ]);
  });
});

describe('dynamics in the reduction', () => {
  /** Levels of a layer as `bar level`. */
  function levelsOf(stage: number, staffId: string): string[] {
    const { staves, bars } = stages[stage]!.written.reduced;
    const staff = staves.findIndex(({ id }) => id === staffId);
    return bars.flatMap((bar) =>
      bar.dynamics.flatMap((mark) =>
        mark.staff === staff && mark.kind === 'level' ? [`${String(bar.number)} ${mark.level}`] : [],
      ),
    );
  }

  // Script (`shape.ts`): the solo is strongest in bars 25 and 39; `flaws.ts`: the tutti of the last stage comes in bar 21.
  it('the solo is loudest at its two climaxes, and nowhere else', () => {
    const loudest = levelsOf(COMPLETE, 'foreground-upper').filter((mark) => mark.endsWith(' f'));
    const [first = 0, second = 0, ...more] = loudest.map((mark) => Number.parseInt(mark, 10));
    expect([first, more.length]).toEqual([25, 0]);
    expect(Math.abs(second - 39)).toBeLessThanOrEqual(1);
  });

  it('a hairpin over a bar line arrives on it: the forte of bar 25 stands on its first beat', () => {
    const bar = stages[COMPLETE]!.written.reduced.bars.find(({ number }) => number === 25)!;
    const forte = bar.dynamics.find((mark) => mark.kind === 'level' && mark.level === 'f');
    expect(forte?.start).toBe(bar.startDivisions);
  });

  it('the strings swell four bars before the climax in the last stage, where that is planted, and in no other', () => {
    expect(levelsOf(COMPLETE, 'background-upper')).toContain('21 mf');
    expect(levelsOf(STRINGS, 'background-upper').filter((mark) => /^2[1-4] /.test(mark))).toEqual([]);
  });

  it('there are few: at most a mark in two bars for a layer', () => {
    for (const index of [0, 1, 2, 3]) {
      const { bars } = stages[index]!.written.reduced;
      for (const staff of ['foreground-upper', 'background-upper']) {
        expect(levelsOf(index, staff).length).toBeLessThan(bars.length / 2);
      }
    }
  });
});

describe('doublings in the reduction', () => {
  it('the flute an octave over the tune stands in it, with a name over the solo, once, with its last bar', () => {
    expect(namesOf(COMPLETE, 'foreground-upper')).toEqual(['29 + Fl above, to bar 36']);
  });

  it('violins and flute in octaves are one line with its octave', () => {
    expect(namesOf(COMPLETE, 'background-upper')).toContain('38 Vn 1 + Fl above, to bar 40');
  });

  it('tones of a chord that lie octaves apart are no doubling: three lines in all until bar 12', () => {
    const before = stages[COMPLETE]!.written.reduced.bars.filter((bar) => bar.number <= 12);
    expect(before.flatMap((bar) => bar.doublings)).toEqual(['Vc + D.B. 8vb, to bar 12']);
  });
});
