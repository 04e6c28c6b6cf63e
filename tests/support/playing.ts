/** Scores played by a seeded machine: onsets spread around the beat, keys let go early or late. */
import type { Part } from '../../src/model/music/arrangement.ts';
import type { Timeline } from '../../src/model/music/timeline.ts';
import { secondAt } from '../../src/model/music/timeline.ts';
import { partOf } from './arrangement.ts';
import type { ScoreNote } from './musicxml-score.ts';
import { playedBetween } from './played-note.ts';

/** Uniform numbers in [0, 1) from a seed (mulberry32, public domain). */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** Normally distributed numbers of mean 0 and spread 1 (Box and Muller). */
export function gaussian(next: () => number): () => number {
  return () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
}

export interface PlayedScore {
  readonly part: Part;
  /** The score note behind each of the part's notes. */
  readonly truth: readonly ScoreNote[];
}

/**
 * Plays notes on an instrument with onsets spread by `jitterMs` (standard deviation) and keys held for 0.75 to 1.02 of their value.
 */
export function play(
  instrument: string,
  notes: readonly ScoreNote[],
  timeline: Timeline,
  jitterMs: number,
  seed: number,
  changes: Partial<Part> = {},
): PlayedScore {
  const next = seeded(seed);
  const spread = gaussian(next);
  const played = notes.map((note) => {
    const off = (jitterMs / 1000) * spread();
    const startSecond = secondAt(timeline, note.start) + off;
    const value = secondAt(timeline, note.start + note.length) - secondAt(timeline, note.start);
    const endSecond = startSecond + Math.max(0.03, value * (jitterMs === 0 ? 1 : 0.75 + 0.27 * next()));
    const sound = playedBetween(timeline, note.midi, startSecond, endSecond);
    return { sound, note };
  });
  played.sort((a, b) => a.sound.startQuarters - b.sound.startQuarters || a.sound.midi - b.sound.midi);
  const part = partOf(instrument, '', timeline, changes);
  return { part: { ...part, notes: played.map((item) => item.sound) }, truth: played.map((item) => item.note) };
}
