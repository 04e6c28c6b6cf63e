/**
 * Chords that are told as others where notes are others. Common practice, no source: what sounds on the second half of a bar as it did is the same
 * chord, whatever it was called beside other neighbours.
 */
import { describe, expect, it } from 'vitest';
import { listedOnce, type BarNote } from '../../../src/analyse/compare/bars/bar-notes.ts';
import { chordChanges } from '../../../src/analyse/compare/edits/chord-changes.ts';
import type { PartFate } from '../../../src/analyse/compare/edits/passages.ts';
import type { ChordSpan } from '../../../src/model/music/written.ts';
import { partOf, timelineOf } from '../../support/arrangement.ts';

const timeline = timelineOf(1);
const HALF = 960;

/** A part of two half notes in one bar, by key; only those differ that are not the same key. */
function fate(id: string, before: readonly [number, number], after: readonly [number, number]): PartFate {
  const part = partOf(id, 'C4:0:2', timeline);
  const notes = (keys: readonly number[]): readonly BarNote[] =>
    keys.map((midi, half) => ({
      part,
      midi,
      bar: 0,
      start: half * HALF,
      onset: half * HALF,
      length: HALF,
      playedOnset: 2 * half,
      playedLength: 2,
      played: 0,
    }));
  const [olds, news] = [notes(before), notes(after)];
  return {
    oldId: id,
    newId: id,
    before: listedOnce(() => olds),
    after: listedOnce(() => news),
    lost: olds.filter((note, half) => note.midi !== news[half]?.midi),
    gained: news.filter((note, half) => note.midi !== olds[half]?.midi),
  };
}

const chord = (half: number, symbol: string): ChordSpan => ({
  start: half * HALF,
  length: HALF,
  bar: 1,
  symbol,
  root: { step: 'C', alter: 0 },
  quality: 'major',
  bass: { step: 'C', alter: 0 },
  roman: '',
  tones: [],
  coverage: 1,
});

function told(fates: readonly PartFate[], before: readonly string[], after: readonly string[]) {
  const edits = fates.map(({ newId = '' }) => ({ partId: newId, kind: 'rewritten' as const, bars: [1] }));
  const side = (names: readonly string[]) => ({
    chords: names.map((name, half) => chord(half, name)),
    bars: timeline.bars,
  });
  return chordChanges(edits, fates, side(before), side(after), [0]).chords.map((item) => [item.before, item.after]);
}

describe('half a bar in which every note stands as before', () => {
  const first = [fate('horn', [63, 57], [60, 57]), fate('tuba', [39, 41], [36, 41])];

  it('has no other chord, though it is called otherwise beside the new one', () => {
    expect(told(first, ['Eb', 'F7'], ['Cm7', 'F'])).toEqual([[['Eb F'], ['Cm7 F']]]);
  });

  it('has one where a note of it is another', () => {
    const both = [first[0]!, fate('tuba', [39, 41], [36, 43])];
    expect(told(both, ['Eb', 'F7'], ['Cm7', 'F'])).toEqual([[['Eb F7'], ['Cm7 F']]]);
  });

  it('is no reason to tell other chords where the other half is called the same', () => {
    expect(told(first, ['Eb', 'F7'], ['Eb', 'F'])).toEqual([]);
  });
});
