import { describe, expect, it } from 'vitest';
import { latenessOf } from '../../src/assemble/clock/lateness.ts';
import type { PlayedNote } from '../../src/model/music/arrangement.ts';
import { timelineOf } from '../support/arrangement.ts';

/** Repeatable chance (mulberry32) and normal deviates (Box and Muller). */
function chance(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

const RHYTHMS: Readonly<Record<string, readonly number[]>> = {
  quarters: [0, 1, 2, 3],
  eighths: [0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5],
  sixteenths: Array.from({ length: 16 }, (_, index) => index / 4),
  triplets: Array.from({ length: 12 }, (_, index) => index / 3),
  'off-beats': [0.5, 1.5, 2.5, 3.5],
  syncopations: [0, 0.75, 1.5, 2.5, 3.25],
  'swung eighths': [0, 2 / 3, 1, 5 / 3, 2, 8 / 3, 3, 11 / 3],
  'lightly swung eighths': [0, 0.6, 1, 1.6, 2, 2.6, 3, 3.6],
};

function played(
  places: readonly number[],
  tempo: number,
  lateMs: number,
  jitterMs: number,
  random: () => number,
  bars = 16,
): PlayedNote[] {
  const secondsPerQuarter = 60 / tempo;
  const notes: PlayedNote[] = [];
  for (let bar = 0; bar < bars; bar++) {
    for (const place of places) {
      const normal = Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
      const startSecond = (4 * bar + place) * secondsPerQuarter + (lateMs + jitterMs * normal) / 1000;
      const startQuarters = startSecond / secondsPerQuarter;
      notes.push({
        midi: 60,
        velocity: 80,
        startQuarters,
        endQuarters: startQuarters + 0.2,
        startSecond,
        endSecond: startSecond + 0.1,
        soundingEndSecond: startSecond + 0.1,
        trackIndex: 0,
      });
    }
  }
  return notes.sort((a, b) => a.startSecond - b.startSecond);
}

const METER = { numerator: 4, denominator: 4 };

describe('lateness of a part', () => {
  const cases = [60, 84, 108, 120].flatMap((tempo) => Object.keys(RHYTHMS).map((rhythm) => [tempo, rhythm] as const));

  it.each(cases)('at %i a minute, %s 60 ms late with 10 ms of jitter are found within 8 ms', (tempo, rhythm) => {
    const random = chance(7);
    const [found] = latenessOf([played(RHYTHMS[rhythm] ?? [], tempo, 60, 10, random)], timelineOf(16, METER, tempo));
    expect(Math.abs((found?.median ?? 0) - 60)).toBeLessThan(8);
    expect(found?.spread).toBeGreaterThan(4);
    expect(found?.spread).toBeLessThan(18);
  });

  it.each(cases)('at %i a minute, %s on the grid are within 8 ms of it', (tempo, rhythm) => {
    const random = chance(11);
    const [found] = latenessOf([played(RHYTHMS[rhythm] ?? [], tempo, 0, 10, random)], timelineOf(16, METER, tempo));
    expect(Math.abs(found?.median ?? 99)).toBeLessThan(8);
  });

  it('quantised music is not late at all', () => {
    const [found] = latenessOf([played([0, 0.5, 1, 2.75], 96, 0, 0, chance(1))], timelineOf(16, METER, 96));
    expect(Math.abs(found?.median ?? 1)).toBeLessThan(0.2);
    expect(found?.spread).toBeLessThan(0.2);
  });

  it('a part ahead of the beat has a negative lateness', () => {
    const [found] = latenessOf([played([0.5, 1, 2, 3], 72, -35, 8, chance(3))], timelineOf(16, METER, 72));
    expect(Math.abs((found?.median ?? 0) + 35)).toBeLessThan(8);
  });

  it('of several parts only the late one is late', () => {
    const random = chance(5);
    const timeline = timelineOf(16, METER, 90);
    const parts = [
      played([0, 1, 2, 3], 90, 0, 10, random),
      played([0, 0.5, 2, 2.5], 90, 60, 10, random),
      played([0, 2], 90, 0, 10, random),
    ];
    const found = latenessOf(parts, timeline).map((part) => part.median);
    expect(Math.abs(found[0] ?? 99)).toBeLessThan(8);
    expect(Math.abs((found[1] ?? 0) - 60)).toBeLessThan(8);
    expect(Math.abs(found[2] ?? 99)).toBeLessThan(8);
  });

  it('a part played without a click has no lateness and a large spread', () => {
    const random = chance(13);
    const places = Array.from({ length: 112 }, () => random() * 64);
    const [found] = latenessOf([played(places, 84, 0, 0, random, 1)], timelineOf(16, METER, 84));
    expect(found?.median).toBe(0);
    expect(found?.spread).toBeGreaterThan(60);
  });

  it('a handful of notes says nothing', () => {
    expect(
      latenessOf([played([0, 1, 2], 84, 70, 0, chance(1), 1), []], timelineOf(1, METER, 84)).map((part) => part.median),
    ).toEqual([0, 0]);
  });
});
