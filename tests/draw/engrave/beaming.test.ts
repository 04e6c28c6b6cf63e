/** Beam groups after E. Gould, Behind Bars (2011), from memory. */
import { describe, expect, it } from 'vitest';
import { beamRuns, groupEnds } from '../../../src/draw/engrave/accidentals-beams-rests/beaming.ts';
import type { Meter } from '../../../src/model/music/timeline.ts';
import { voiceOf } from '../../support/score.ts';

/** Sizes of the beams, and `-` for every event without one: `4 4` for eight eighths in 4/4. */
function beamsOf(text: string, numerator: number, denominator: number, offset = 0): string {
  const meter: Meter = { numerator, denominator };
  const voice = voiceOf(text, 0, 0);
  const runs = beamRuns(voice, groupEnds(meter, voice, -offset), meter, 0, offset);
  const words: string[] = [];
  voice.forEach((_, index) => {
    const run = runs.find((indices) => indices.includes(index));
    if (run === undefined) words.push('-');
    else if (run[0] === index) words.push(String(run.length));
  });
  return words.join(' ');
}

const eighths = (count: number): string => Array.from({ length: count }, () => 'C4:8').join(' ');

describe('beams', () => {
  it('join eighths in halves of 4/4, never over its middle', () => {
    expect(beamsOf(eighths(8), 4, 4)).toBe('4 4');
    expect(beamsOf('C4:4 C4:8 C4:8 C4:8 C4:8 C4:4', 4, 4)).toBe('- 2 2 -');
  });

  it('join six eighths in 3/4 and four in 2/4', () => {
    expect(beamsOf(eighths(6), 3, 4)).toBe('6');
    expect(beamsOf(eighths(4), 2, 4)).toBe('4');
  });

  it('join four eighths to a beat of 2/2', () => {
    expect(beamsOf(eighths(8), 2, 2)).toBe('4 4');
  });

  it('hang together in a half of 2/2 after a rest too, never over its middle', () => {
    expect(beamsOf('r:8 C4:8 C4:8 C4:8 C4:8 C4:8 C4:8 r:8', 2, 2)).toBe('- 3 3 -');
    expect(beamsOf('C4:4. C4:8 C4:8 C4:8 C4:4', 2, 2)).toBe('- - 2 -');
    expect(beamsOf('r:8 C4:8 C4:8 C4:8 C4:2', 4, 4)).toBe('- - 2 -');
  });

  it('go on under a tuplet that reaches over a beat', () => {
    expect(beamsOf('(3:2 C4:8 C4:4 C4:8 C4:8 C4:8 ) C4:2', 4, 4)).toBe('- - 3 -');
  });

  it('show the beats where sixteenths are among them', () => {
    expect(beamsOf('C4:8 C4:16 C4:16 C4:8 C4:8 C4:2', 4, 4)).toBe('3 2 -');
  });

  it('join three eighths in compound meters', () => {
    expect(beamsOf(eighths(6), 6, 8)).toBe('3 3');
    expect(beamsOf(eighths(9), 9, 8)).toBe('3 3 3');
    expect(beamsOf(eighths(3), 3, 8)).toBe('3');
  });

  it('follow the notes in 5/8 and 7/8, and the usual grouping where all is alike', () => {
    expect(beamsOf(eighths(5), 5, 8)).toBe('3 2');
    expect(beamsOf('C4:8 C4:8 C4:8. C4:16 C4:8', 5, 8)).toBe('2 3');
    expect(beamsOf(eighths(7), 7, 8)).toBe('2 2 3');
    expect(beamsOf('C4:4. C4:8 C4:8 C4:8 C4:8', 7, 8)).toBe('- 2 2');
  });

  it('join the eighths of 5/4 and 8/8 by beats and by threes', () => {
    expect(beamsOf(eighths(10), 5, 4)).toBe('2 2 2 2 2');
    expect(beamsOf(eighths(8), 8, 8)).toBe('3 3 2');
  });

  it('end at rests and at longer notes', () => {
    expect(beamsOf('C4:8 r:8 C4:8 C4:8 C4:2', 4, 4)).toBe('- - 2 -');
  });

  it('join a triplet', () => {
    expect(beamsOf('(3:2 C4:8 C4:8 C4:8 ) C4:8 C4:8 C4:2', 4, 4)).toBe('3 2 -');
  });

  it('count a pickup from its end: three eighths before a 4/4 bar are one and two', () => {
    expect(beamsOf(eighths(3), 4, 4, 5 * 240)).toBe('- 2');
  });
});
