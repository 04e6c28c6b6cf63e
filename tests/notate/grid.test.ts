import { describe, expect, it } from 'vitest';
import type { Meter } from '../../src/model/music/timeline.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import type { ScoreNote } from '../support/musicxml-score.ts';
import { play, seeded } from '../support/playing.ts';

/** Rhythms of one beat (starts in quarters) and how often they come. */
const STRAIGHT: readonly (readonly number[])[] = [
  [0],
  [0],
  [0, 0.5],
  [0, 0.5],
  [0, 0.5],
  [0, 0.75],
  [0.5],
  [0, 0.25, 0.5, 0.75],
  [0, 0.5, 0.75],
  [],
];
const TRIPLETS: readonly (readonly number[])[] = [[0], [0, 1 / 3, 2 / 3], [0, 1 / 3, 2 / 3], [0, 2 / 3], []];
const COMPOUND: readonly (readonly number[])[] = [
  [0],
  [0, 0.5, 1],
  [0, 0.5, 1],
  [0, 1],
  [0, 0.75, 1],
  [0, 0.25, 0.5, 0.75, 1, 1.25],
  [],
];

interface Music {
  readonly meter: Meter;
  readonly notes: ScoreNote[];
  readonly bars: number;
}

function melody(starts: readonly number[], bars: number, meter: Meter, next: () => number): Music {
  let midi = 67;
  const end = (bars * meter.numerator * 4) / meter.denominator;
  const notes = starts.map((start, index): ScoreNote => {
    midi = Math.min(81, Math.max(60, midi + Math.round(next() * 8 - 4)));
    const pitch = { step: 'C', alter: 0, octave: 4 } as const;
    return { midi, pitch, start, length: (starts[index + 1] ?? end) - start, staff: 1, voice: '1' };
  });
  return { meter, notes, bars };
}

/** Bars of one kind of rhythm by phrases of four bars, as music is made. */
function invent(kind: 'four' | 'six', seed: number): Music {
  const next = seeded(seed);
  const meter = kind === 'four' ? { numerator: 4, denominator: 4 } : { numerator: 6, denominator: 8 };
  const beat = kind === 'four' ? 1 : 1.5;
  const beats = kind === 'four' ? 4 : 2;
  const bars = 64;
  const starts: number[] = [];
  for (let bar = 0; bar < bars; bar++) {
    const phrase = Math.floor(bar / 4) % 4;
    const rhythms = kind === 'six' ? COMPOUND : phrase === 3 ? TRIPLETS : STRAIGHT;
    for (let at = 0; at < beats; at++) {
      const rhythm = rhythms[Math.floor(next() * rhythms.length)] ?? [0];
      starts.push(...rhythm.map((place) => (bar * beats + at) * beat + place));
    }
  }
  return melody(starts, bars, meter, next);
}

function shareRight(music: Music, tempo: number, jitterMs: number, seed: number): number {
  const timeline = timelineOf(music.bars, music.meter, tempo);
  const { part, truth } = play('flute', music.notes, timeline, jitterMs, seed);
  const written = notateStage(stageOf([part], timeline)).parts[0]!;
  const right = written.notes.filter((note) => Math.abs(note.start - truth[note.played]!.start * 480) < 1);
  return right.length / written.notes.length;
}

describe('onsets on a beat grid', () => {
  it('are exact where the playing is exact, straight, triplet and compound alike', () => {
    for (const kind of ['four', 'six'] as const) expect(shareRight(invent(kind, 5), 100, 0, 1)).toBe(1);
  });

  // Human playing to a click keeps within about 20 ms; the project's aim is 99 % of ordinary music.
  it.each([60, 80, 100, 120])('land right 99 times in a hundred at 20 ms of spread and %i to the minute', (tempo) => {
    let sum = 0;
    const seeds = [1, 2, 3, 4];
    for (const seed of seeds) sum += shareRight(invent(seed % 2 === 0 ? 'four' : 'six', seed), tempo, 20, seed);
    expect(sum / seeds.length).toBeGreaterThan(0.99);
  });

  it('are worse, but not lost, at 30 ms', () => {
    expect(shareRight(invent('four', 9), 90, 30, 3)).toBeGreaterThan(0.96);
  });

  it('keep thirty-seconds where they are played evenly', () => {
    const starts = Array.from({ length: 64 }, (_, index) => index / 8);
    const music = melody(starts, 2, { numerator: 4, denominator: 4 }, seeded(4));
    expect(shareRight(music, 60, 8, 2)).toBeGreaterThan(0.98);
  });

  it('have the lateness of the part taken out first', () => {
    const timeline = timelineOf(2, { numerator: 4, denominator: 4 }, 60);
    const late = Array.from({ length: 8 }, (_, beat) => `A4:${String(beat + 0.11)}:0.8`).join(' ');
    const part = partOf('violin', late, timeline, { latenessMs: { median: 110, spread: 5 } });
    const written = notateStage(stageOf([part], timeline)).parts[0]!;
    expect(written.notes.map((note) => note.start)).toEqual([0, 480, 960, 1440, 1920, 2400, 2880, 3360]);
  });

  it('keep a rolled chord together', () => {
    const timeline = timelineOf(1, { numerator: 4, denominator: 4 }, 90);
    const part = partOf('guitar', 'E3:0:3 B3:0.03:3 E4:0.06:3 G4:0.09:3', timeline);
    const written = notateStage(stageOf([part], timeline)).parts[0]!;
    expect(written.notes.map((note) => note.start)).toEqual([0, 0, 0, 0]);
  });

  it('are distrusted where they have nothing to do with the bar lines, and a sentence says so', () => {
    const next = seeded(12);
    const timeline = timelineOf(30);
    let at = 0;
    const words: string[] = [];
    while (at < 115) {
      words.push(`A4:${at.toFixed(4)}:0.4`);
      at += 0.55 + 0.25 * next();
    }
    const written = notateStage(stageOf([partOf('piano', words.join(' '), timeline)], timeline));
    expect(written.onGrid).toBe(false);
    expect(written.remarks.join(' ')).toContain('nothing to do with the bar lines');
    expect(written.parts[0]!.notes.length).toBe(words.length);
  });

  it('are trusted where the playing is loose but to the click', () => {
    const timeline = timelineOf(64, { numerator: 4, denominator: 4 }, 100);
    const { part } = play('flute', invent('four', 3).notes, timeline, 30, 4);
    const written = notateStage(stageOf([part], timeline));
    expect(written.onGrid).toBe(true);
  });
});

describe('lengths', () => {
  function lengthsOf(music: string, instrument = 'flute'): number[] {
    const timeline = timelineOf(2, { numerator: 4, denominator: 4 }, 60);
    return notateStage(stageOf([partOf(instrument, music, timeline)], timeline)).parts[0]!.notes.map(
      (note) => note.length,
    );
  }

  it('lose the overlap of legato', () => {
    expect(lengthsOf('A4:0:1.1 B4:1:1.08 C5:2:2.1 D5:4:4')).toEqual([480, 480, 960, 1920]);
  });

  it('fill the small gaps of ordinary playing', () => {
    expect(lengthsOf('A4:0:0.8 B4:1:0.75 C5:2:1.6 D5:4:3.8')).toEqual([480, 480, 960, 1920]);
  });

  it('of quarters let go at once become short values with rests', () => {
    expect(lengthsOf('A4:0:0.25 B4:1:0.25 C5:2:0.25 D5:3:0.25')).toEqual([240, 240, 240, 240]);
  });

  it('of a part that was entered and not played are taken as they stand', () => {
    const exact = 'A4:0:0.5 B4:0.75:0.25 A4:1:0.5 B4:1.75:0.25 A4:2:0.5 B4:2.75:0.25 A4:3:0.5 B4:3.75:0.25';
    expect(lengthsOf(exact)).toEqual([240, 120, 240, 120, 240, 120, 240, 120]);
  });

  it('keep a held note under a moving one', () => {
    expect(
      lengthsOf('C4:0:3.95 E4:0:0.95 F4:1:0.95 G4:2:0.95 A4:3:0.95 C4:4:4', 'piano').sort((a, b) => a - b),
    ).toEqual([480, 480, 480, 480, 1920, 1920]);
  });
});

describe('parts that play together', () => {
  // A dotted eighth and two thirty-seconds in one bar of otherwise plain quarters, as tutti openings have it.
  const starts = [...Array.from({ length: 64 }, (_, beat) => beat)].flatMap((beat) =>
    beat === 21 ? [beat, beat + 0.75, beat + 0.875] : [beat],
  );
  const music = melody(starts, 16, { numerator: 4, denominator: 4 }, seeded(3));
  const timeline = timelineOf(music.bars, music.meter, 112);

  function fastRight(players: number): number {
    const played = Array.from({ length: players }, (_, index) => play('violin', music.notes, timeline, 20, 40 + index));
    const parts = played.map(({ part }, index) => ({ ...part, id: `p${String(index)}` }));
    const answers = notateStage(stageOf(parts, timeline)).parts.flatMap((part, index) =>
      part.notes.flatMap((note) => {
        const { start } = played[index]!.truth[note.played]!;
        return start > 21 && start < 22 ? [Math.abs(note.start - start * 480) < 1] : [];
      }),
    );
    return answers.filter((right) => right).length / answers.length;
  }

  it('agree on two lone thirty-seconds that no player alone shows clearly at 20 ms of spread', () => {
    expect(fastRight(16)).toBeGreaterThan(0.95);
  });
});
