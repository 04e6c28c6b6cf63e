/** A second horn put down a bar late beside the first. That two of a kind who rested come in together with a phrase is common practice, no source. */
import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/music/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { findingsOf } from './stage-findings.ts';

const timeline = timelineOf(16);
/** C, F, G and A minor in turn, a bar each. */
const CHORDS = [
  ['C', 'E', 'G'],
  ['F', 'A', 'C'],
  ['G', 'B', 'D'],
  ['A', 'C', 'E'],
] as const;
const BARS = Array.from({ length: 16 }, (_, bar) => bar);
const chordAt = (bar: number): (typeof CHORDS)[number] => CHORDS[bar % 4] ?? CHORDS[0];
const held = (voice: 0 | 1 | 2, octave: number): string =>
  BARS.map((bar) => `${chordAt(bar)[voice]}${String(octave)}:${String(bar * 4)}:4`).join(' ');

/** Holds tones of the chords from a bar of the piece on, three quarters and a breath in every second bar, put down so many bars late. */
function horn(number: number, voice: 0 | 1 | 2, from: number, bars: number, late = 0, tones = late): Part {
  const notes = BARS.slice(from, from + bars).map((bar, index) => {
    const length = index % 2 === 0 ? 4 : 3;
    return `${chordAt(bar + late - tones)[voice]}3:${String((bar + late) * 4)}:${String(length)}`;
  });
  return partOf('horn-f', notes.join(' '), timeline, { name: `Horn ${String(number)}`, number });
}

const others = [
  partOf('oboe', BARS.map((bar) => `${chordAt(bar)[2]}5:${String(bar * 4)}:4`).join(' '), timeline, {
    role: 'foreground',
  }),
  partOf('violin', held(1, 4), timeline, { players: 4 }),
  partOf('viola', held(2, 3), timeline, { players: 2 }),
  partOf('cello', held(0, 3), timeline, { players: 2 }),
];
const told = (...horns: Part[]) =>
  findingsOf(stageOf([...others, ...horns], timeline))
    .filter(({ rule }) => rule === 'displaced-part')
    .map(({ from, to, partIds, message }) => ({ from, to, partIds, message }));

describe('a second horn in the rhythm of the first', () => {
  it('that comes in a bar after it and grinds there is a bar late, told once and with the first', () => {
    const [finding, ...more] = told(horn(1, 1, 4, 4), horn(2, 0, 4, 4, 1));
    expect(more).toEqual([]);
    expect(finding).toMatchObject({ from: 6, partIds: ['horn-2'] });
    expect(finding?.message).toContain('a bar late');
    expect(finding?.message).toContain('Horn 1 comes in a bar before in the same rhythm');
  });

  it('is in its place where it comes in with it', () => {
    expect(told(horn(1, 1, 4, 4), horn(2, 0, 4, 4))).toEqual([]);
  });

  it('that comes in a bar after it in the harmony answers it', () => {
    expect(told(horn(1, 1, 4, 4), horn(2, 0, 4, 4, 1, 0))).toEqual([]);
  });
});
