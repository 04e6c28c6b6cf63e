import { describe, expect, it } from 'vitest';
import type { Section } from '../../src/model/music/arrangement.ts';
import type { WrittenStage } from '../../src/model/music/written.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import type { ScoreNote } from '../support/musicxml-score.ts';
import { play } from '../support/playing.ts';
import type { Rhythms } from '../support/swung.ts';
import { inventedLine, swungPlace } from '../support/swung.ts';

const FOUR = { numerator: 4, denominator: 4 };
const EIGHTHS: Rhythms = [[0], [0, 0.5], [0, 0.5], [0, 0.5], [0.5], []];

interface Played {
  readonly written: WrittenStage;
  /** Shares of notes whose onset and whose value are those of the score. */
  readonly onsets: number;
  readonly lengths: number;
}

interface Playing {
  readonly tempo: number;
  /** Ratio long to short at a place of the score; 1 where it is played as written. */
  readonly ratioAt: (quarters: number) => number;
  readonly pairQuarters?: number;
  readonly meter?: typeof FOUR;
  readonly jitterMs?: number;
  readonly lateMs?: number;
  readonly sections?: readonly Section[];
}

function playLines(lines: readonly (readonly ScoreNote[])[], bars: number, how: Playing): Played {
  const meter = how.meter ?? FOUR;
  const timeline = timelineOf(bars, meter, how.tempo);
  const late = ((how.lateMs ?? 0) * how.tempo) / 60_000;
  const at = (quarters: number): number => swungPlace(quarters, how.ratioAt(quarters), how.pairQuarters);
  const truths: ScoreNote[][] = [];
  const parts = lines.map((line, index) => {
    const origin = new Map<ScoreNote, ScoreNote>();
    const moved = line.map((note) => {
      const start = at(note.start) + late;
      const played = { ...note, start, length: Math.max(0.05, at(note.start + note.length) + late - start) };
      origin.set(played, note);
      return played;
    });
    const latenessMs = { median: how.lateMs ?? 0, spread: 10 };
    const { part, truth } = play('flute', moved, timeline, how.jitterMs ?? 15, index + 5, {
      id: `p${String(index)}`,
      latenessMs,
    });
    truths.push(truth.map((note) => origin.get(note)!));
    return part;
  });
  const written = notateStage(stageOf(parts, timeline, how.sections === undefined ? {} : { sections: how.sections }));
  const notes = written.parts.flatMap((part, index) =>
    part.notes.map((note) => ({ note, truth: truths[index]![note.played]! })),
  );
  const share = (isRight: (item: (typeof notes)[number]) => boolean): number =>
    notes.filter(isRight).length / notes.length;
  return {
    written,
    onsets: share(({ note, truth }) => Math.abs(note.start - truth.start * 480) < 2),
    lengths: share(({ note, truth }) => Math.abs(note.length - truth.length * 480) < 2),
  };
}

function playLine(rhythms: Rhythms, ratio: number, tempo: number, changes: Partial<Playing> = {}): Played {
  const meter = changes.meter ?? FOUR;
  const bars = 32;
  const beatQuarters = meter.denominator === 8 ? 1.5 : 1;
  const beats = (bars * meter.numerator * 4) / meter.denominator / beatQuarters;
  return playLines([inventedLine(rhythms, beats, 3, beatQuarters)], bars, { tempo, ratioAt: () => ratio, ...changes });
}

describe('music that swings', () => {
  // Measured ratios of long to short in jazz run from nearly even to above 3 (Friberg and Sundström 2002, from memory).
  it.each([
    [1.3, 100],
    [1.5, 140],
    [2, 100],
    [2, 160],
    [2.4, 90],
  ])('at %f to 1 and %i to the minute is written in even eighths under its measured ratio', (ratio, tempo) => {
    const { written, onsets, lengths } = playLine(EIGHTHS, ratio, tempo);
    expect(written.swing).toHaveLength(1);
    const [span] = written.swing!;
    expect(span).toMatchObject({ from: 1, to: 32, unit: 'eighth' });
    expect(Math.abs(span!.ratio - ratio)).toBeLessThan(0.16);
    expect(onsets).toBeGreaterThan(0.99);
    expect(lengths).toBeGreaterThan(0.98);
    expect(written.remarks.join(' ')).toContain('Eighths swing in bars 1–32');
  });

  it('keeps its true triplets', () => {
    const { written, onsets } = playLine([...EIGHTHS, ...EIGHTHS, [0, 1 / 3, 2 / 3]], 2, 110);
    expect(written.swing).toHaveLength(1);
    expect(onsets).toBeGreaterThan(0.98);
  });

  it('has its lateness taken out first: the same music 45 ms late is the same score', () => {
    const late = playLine(EIGHTHS, 1.7, 120, { lateMs: 45 });
    const plain = playLine(EIGHTHS, 1.7, 120);
    expect(late.written.swing).toEqual(plain.written.swing);
    expect(late.onsets).toBeGreaterThan(0.99);
  });

  it('is the same score as the same music played even, so that nothing has changed from one stage to the other', () => {
    const startsOf = ({ written }: Played): number[] => written.parts[0]!.notes.map((note) => note.start);
    expect(startsOf(playLine(EIGHTHS, 2, 120))).toEqual(startsOf(playLine(EIGHTHS, 1, 120)));
  });

  it('is found in parts that swing together', () => {
    const lines = [1, 2, 3].map((seed) => inventedLine(EIGHTHS, 48, seed));
    const { written, onsets } = playLines(lines, 12, { tempo: 126, ratioAt: () => 1.6, jitterMs: 20 });
    expect(written.swing).toHaveLength(1);
    expect(onsets).toBeGreaterThan(0.99);
  });

  it('in sixteenths is told from swing in eighths', () => {
    const rhythms = [[0], [0, 0.25, 0.5, 0.75], [0, 0.25, 0.5], [0, 0.5, 0.75], [0, 0.5]];
    const { written, onsets } = playLine(rhythms, 1.7, 88, { pairQuarters: 0.5, jitterMs: 12 });
    expect(written.swing).toHaveLength(1);
    expect(written.swing![0]!.unit).toBe('16th');
    expect(onsets).toBeGreaterThan(0.99);
  });

  it('for a section is announced for that section', () => {
    const bars = 32;
    const line = inventedLine([[0], [0, 0.5], [0, 0.5]], 4 * bars, 8);
    const { written, onsets } = playLines([line], bars, {
      tempo: 120,
      ratioAt: (quarters) => (quarters >= 64 ? 2 : 1),
    });
    expect(written.swing).toHaveLength(1);
    expect(written.swing![0]).toMatchObject({ from: 17, to: 32 });
    expect(onsets).toBeGreaterThan(0.99);
  });
});

describe('what is not swing', () => {
  const silent = ({ written }: Played): void => {
    expect(written.swing).toBeUndefined();
    expect(written.remarks.join(' ')).not.toContain('swing');
  };

  it('even eighths, loosely played', () => {
    const played = playLine([[0], [0, 0.5], [0, 0.5], [0, 0.75], [0, 0.25, 0.5, 0.75]], 1, 120, { jitterMs: 30 });
    silent(played);
    expect(played.onsets).toBeGreaterThan(0.96);
  });

  it.each([90, 120, 144])('a march of dotted eighths and sixteenths at %i', (tempo) => {
    const dotted = [[0], [0, 0.75], [0, 0.75], [0, 0.75], [0]];
    for (const rhythms of [dotted, [...dotted, [0, 0.5]]]) {
      const played = playLine(rhythms, 1, tempo, { jitterMs: 20 });
      silent(played);
      expect(played.onsets).toBeGreaterThan(0.99);
    }
  });

  it.each([60, 90, 120])('triplets among duplets at %i', (tempo) => {
    silent(playLine([[0], [0, 1 / 3, 2 / 3], [0, 1 / 3, 2 / 3], [0, 2 / 3], [0, 0.5], [0, 0.5]], 1, tempo));
  });

  it.each([60, 90, 120])('music that runs in triplets throughout, long and short now and then, at %i', (tempo) => {
    const played = playLine([[0], [0, 1 / 3, 2 / 3], [0, 1 / 3, 2 / 3], [0, 2 / 3]], 1, tempo);
    silent(played);
    expect(played.onsets).toBeGreaterThan(0.99);
  });

  it('a siciliano, and six eight with a long and a short note in every beat', () => {
    const twelve = { numerator: 12, denominator: 8 };
    silent(playLine([[0, 0.5, 2 / 3], [0, 2 / 3], [0]], 1, 60, { meter: twelve }));
    const six = { numerator: 6, denominator: 8 };
    silent(playLine([[0, 2 / 3], [0, 2 / 3], [0]], 1, 90, { meter: six }));
  });

  it('an expressive slowing that lengthens single off-beats', () => {
    const timeline = timelineOf(8, FOUR, 100);
    const eighths = Array.from({ length: 64 }, (_, at) => `A4:${String(at % 16 === 15 ? at / 2 + 0.12 : at / 2)}:0.4`);
    expect(notateStage(stageOf([partOf('flute', eighths.join(' '), timeline)], timeline)).swing).toBeUndefined();
  });
});

describe('a section named by the musician', () => {
  const DOTTED = [[0], [0, 0.75], [0, 0.75], [0, 0.75], [0]];

  it('“Swing” is read as swing even at a dotted ratio', () => {
    const sections = [{ name: 'Swing chorus', from: 1, to: 32 }];
    const { written } = playLine(DOTTED, 1, 100, { sections });
    expect(written.swing?.[0]?.ratio).toBeGreaterThan(2.6);
    const onEighths = written.parts[0]!.notes.filter((note) => note.start % 240 === 0);
    expect(onEighths.length / written.parts[0]!.notes.length).toBeGreaterThan(0.98);
  });

  it('“Straight” is written as played', () => {
    const sections = [{ name: 'Straight eighths', from: 1, to: 32 }];
    expect(playLine(EIGHTHS, 2, 100, { sections }).written.swing).toBeUndefined();
  });
});
