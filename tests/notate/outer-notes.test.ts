import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/music/arrangement.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import type { Line, LineNote } from '../../src/notate/reduction/lines.ts';
import { linesAsRead } from '../../src/notate/reduction/lines.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { outerNotes } from '../support/outer-notes.ts';

describe('the outer notes of a reduction', () => {
  const timeline = timelineOf(1);
  const flute = partOf('flute', 'C6:0:2 D6:2:2', timeline);
  const cello = { ...partOf('cello', 'C3:0:1 G2:1:1 C3:2:2', timeline), id: 'cello' };
  const stage = stageOf([flute, cello], timeline);
  const written = notateStage(stage);

  it('are all there where two parts play', () => {
    expect(outerNotes(stage, written)).toEqual({ moments: 3, highest: 3, lowest: 3 });
  });

  it('are missed where the score has none of them', () => {
    const bars = written.reduced.bars.map((bar) => ({ ...bar, staves: bar.staves.slice(0, 1) }));
    const counted = outerNotes(stage, { ...written, reduced: { ...written.reduced, bars } });
    expect(Math.min(counted.highest, counted.lowest)).toBe(0);
  });

  // What a reduction is for, in every book on it: the outer voices first (common practice, no source).
  it('are all there where trumpets in octaves lie an octave above horns in octaves', () => {
    const inOctaves = (name: 'horn' | 'trumpet', notes: string): Part => ({
      ...partOf(name, notes, timeline),
      id: name,
    });
    const tutti = stageOf(
      [
        { ...partOf('violin', 'E4:0:1 F4:1:1 G4:2:2', timeline), id: 'violin' },
        inOctaves('horn', 'C3:0:1 C4:0:1 D3:1:1 D4:1:1 C3:2:2 C4:2:2'),
        inOctaves('trumpet', 'C4:0:1 C5:0:1 D4:1:1 D5:1:1 C4:2:2 C5:2:2'),
      ],
      timeline,
    );
    const { moments, highest, lowest } = outerNotes(tutti, notateStage(tutti));
    expect({ highest, lowest }).toEqual({ highest: moments, lowest: moments });
  });

  it('are there from the first stroke where a double bass comes in before the cello that it doubles in free playing', () => {
    const note = (midi: number, from: number, to: number): LineNote => ({
      from,
      to,
      midi,
      pitch: { step: 'C', alter: 0, octave: 3 },
      continues: false,
      goesOn: false,
      partIds: [],
    });
    const line = (partId: string, own: LineNote): Line => ({
      key: partId,
      partId,
      label: partId,
      staff: 1,
      voice: 1,
      notes: [{ ...own, partIds: [partId] }],
      centre: own.midi,
      depth: 0,
    });
    const early = line('double-bass', note(36, 0, 960));
    const late = line('cello', note(48, 40, 960));
    const read = linesAsRead(
      [late, early],
      (id) => (id === 'double-bass' ? -12 : 0),
      () => 0,
    );
    expect(read.map(({ notes }) => notes.map(({ from, sounds }) => ({ from, sounds })))).toEqual([
      [{ from: 0, sounds: [48, 36] }],
    ]);
  });
});
