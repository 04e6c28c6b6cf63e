/** The full score: who stands where, and what they read. */
import { describe, expect, it } from 'vitest';
import { fullScore, hasTransposingParts } from '../../src/notate/full-score.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import type { ReducedScore } from '../../src/model/written.ts';
import { pitchName } from '../../src/model/pitch.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';

const FOUR = { numerator: 4, denominator: 4 };
const timeline = timelineOf(2, FOUR);
const SCALE = 'C4:0:4 D4:4:4';

function stageWith(...instruments: readonly string[]) {
  return stageOf(
    instruments.map((instrument) => partOf(instrument, SCALE, timeline)),
    timeline,
  );
}

function firstPitches({ bars }: ReducedScore): string[] {
  return (bars[0]?.staves ?? []).map((staff) => {
    const [head] = staff.voices[0]?.[0]?.heads ?? [];
    return head === undefined ? '' : pitchName(head.pitch);
  });
}

describe('the full score', () => {
  it('has a staff for each part, two for a piano under a brace, and families under brackets', () => {
    const stage = stageWith('flute', 'oboe', 'piano', 'violin', 'cello');
    const { staves } = fullScore(stage, notateStage(stage), 'concert');
    expect(staves.map(({ bracket, brace }) => [bracket, brace !== ''])).toEqual([
      ['woodwind', false],
      ['woodwind', false],
      ['', true],
      ['', true],
      ['strings', false],
      ['strings', false],
    ]);
  });

  it('at concert pitch a clarinet is written as it sounds, as players read it a tone higher with two sharps more', () => {
    // A clarinet in B flat sounds a major second below its notes.
    const stage = stageWith('clarinet-bflat', 'violin');
    const written = notateStage(stage);
    expect(hasTransposingParts(stage)).toBe(true);
    const concert = fullScore(stage, written, 'concert');
    const asRead = fullScore(stage, written, 'written');
    expect(firstPitches(concert)).toEqual(['C4', 'C4']);
    expect(firstPitches(asRead)).toEqual(['D4', 'C4']);
    const sounding = asRead.bars[0]!.fifths;
    expect(asRead.bars[0]!.staves[0]!.fifths).toBe(sounding + 2);
    expect(asRead.bars[0]!.staves[1]!.fifths).toBeUndefined();
  });

  it('a name says the key of a transposing instrument once, where the score is as its player reads it', () => {
    const stage = stageOf(
      ['Clarinet', 'Clarinet in B flat 2'].map((name) => partOf('clarinet-bflat', SCALE, timeline, { name })),
      timeline,
    );
    const labels = (reading: 'concert' | 'written'): string[] =>
      fullScore(stage, notateStage(stage), reading).staves.map(({ label }) => label);
    expect(labels('written')).toEqual(['Clarinet in B flat', 'Clarinet in B flat 2']);
    expect(labels('concert')).toEqual(['Clarinet', 'Clarinet in B flat 2']);
  });

  it('a double bass keeps its octave in both (common practice of scores in C)', () => {
    const stage = stageWith('double-bass', 'violin');
    expect(hasTransposingParts(stage)).toBe(false);
    expect(firstPitches(fullScore(stage, notateStage(stage), 'concert'))).toEqual(['C5', 'C4']);
  });

  it('winds and violas are never put under 8va; violins and pianos may be (Gould, from memory)', () => {
    const stage = stageWith('flute', 'viola', 'violin', 'piano');
    const { staves } = fullScore(stage, notateStage(stage), 'concert');
    expect(staves.map(({ ottava }) => ottava)).toEqual([false, false, true, true, true]);
  });
});
