/** Music as somebody plays it who follows no click: for tests of what is made of it. */
import type { Timeline } from '../../src/model/music/timeline.ts';
import type { Part, PlayedNote } from '../../src/model/music/arrangement.ts';
import { partOf } from './arrangement.ts';
import type { ScoreNote } from './musicxml-score.ts';
import { playedBetween } from './played-note.ts';
import { seeded } from './playing.ts';

/** Seconds of every beat of a player who follows nothing but himself: about `tempo` to the minute, arched by phrases, slowing at their ends. */
export function ownBeats(count: number, seed: number, tempo = 76, drifting = 0.12): number[] {
  const next = seeded(seed);
  const seconds = [1.3];
  let drift = 0;
  for (let beat = 0; beat < count; beat++) {
    drift = 0.7 * drift + drifting * (next() + next() - 1);
    const phrase = 0.06 * Math.cos((2 * Math.PI * (beat % 16)) / 16) + (beat % 16 >= 14 ? 0.18 : 0);
    seconds.push((seconds[beat] ?? 0) + (60 / tempo) * Math.exp(drift + phrase));
  }
  return seconds;
}

/** The second of a place in quarters by those beats; before the first beat as after it. */
export function secondBy(beats: readonly number[], quarters: number): number {
  const beat = Math.max(0, Math.floor(quarters));
  const from = beats[beat] ?? 0;
  return from + (quarters - beat) * ((beats[beat + 1] ?? from + 0.8) - from);
}

/** A part played by those beats, noted on a file whose tempo map knows nothing of them. */
export function playedFreely(
  instrument: string,
  notes: readonly ScoreNote[],
  beats: readonly number[],
  timeline: Timeline,
  seed: number,
): Part {
  const next = seeded(seed);
  const played = notes.map((note): PlayedNote => {
    const startSecond = secondBy(beats, note.start) + 0.024 * (next() - 0.5);
    const seconds = secondBy(beats, note.start + note.length) - secondBy(beats, note.start);
    const endSecond = startSecond + (0.75 + 0.2 * next()) * seconds;
    return playedBetween(timeline, note.midi, startSecond, endSecond);
  });
  played.sort((a, b) => a.startSecond - b.startSecond);
  return { ...partOf(instrument, '', timeline), id: `${instrument}-${String(seed)}`, notes: played };
}
