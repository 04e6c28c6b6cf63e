import { describe, expect, it } from 'vitest';
import { engraveScore } from '../../src/draw/engrave/score/engrave-score.ts';
import type { WrittenStage } from '../../src/model/music/written.ts';
import { checkScore } from '../../src/notate/note-values/check-score.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { reducedScoreXml } from '../../src/publish/musicxml/write-musicxml.ts';
import { arrangementOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { schemaErrors } from '../support/musicxml-export.ts';
import { play } from '../support/playing.ts';
import type { Rhythms } from '../support/swung.ts';
import { inventedLine } from '../support/swung.ts';

const FOUR = { numerator: 4, denominator: 4 };
const PLAIN: Rhythms = [[0], [0, 0.5], [0, 0.25, 0.5, 0.75], [0, 0.75], [0, 0.5]];

function evenly(count: number): number[] {
  return Array.from({ length: count }, (_, index) => index / count);
}

interface Run {
  readonly written: WrittenStage;
  readonly right: number;
  readonly tuplets: ReadonlySet<string>;
  readonly input: Parameters<typeof reducedScoreXml>[0];
}

function read(rhythms: Rhythms, tempo: number, jitterMs: number): Run {
  const timeline = timelineOf(24, FOUR, tempo);
  const { part, truth } = play('flute', inventedLine(rhythms, 96, 2), timeline, jitterMs, 7);
  const stage = stageOf([part], timeline);
  const written = notateStage(stage);
  const { notes } = written.parts[0]!;
  const right = notes.filter((note) => Math.abs(note.start - truth[note.played]!.start * 480) < 1.5).length;
  const events = written.reduced.bars.flatMap((bar) => bar.staves.flatMap((staff) => staff.voices.flat()));
  const tuplets = new Set(
    events.flatMap(({ figure: { tuplet } }) =>
      tuplet === undefined ? [] : [`${String(tuplet.actual)}:${String(tuplet.normal)}`],
    ),
  );
  return {
    written,
    right: right / notes.length,
    tuplets,
    input: { arrangement: arrangementOf([stage]), stage, written },
  };
}

describe('a run', () => {
  it.each([
    [5, '5:4'],
    [6, '6:4'],
    [7, '7:4'],
  ])('of %i notes in a beat is written as one, in the time of four', async (count, ratio) => {
    for (const tempo of [60, 80, 96]) {
      const { written, right, tuplets, input } = read([...PLAIN, evenly(count)], tempo, 12);
      expect(right).toBeGreaterThan(0.99);
      expect([...tuplets]).toEqual([ratio]);
      expect(checkScore(written.reduced)).toEqual([]);
      expect(engraveScore(written.reduced, { widthPx: 1000, title: 'Test' }).systems.length).toBeGreaterThan(0);
      if (tempo === 60) expect(await schemaErrors([reducedScoreXml(input)])).toEqual([]);
    }
  });

  it.each([
    ['thirty-seconds', 8, 96],
    ['sixty-fourths', 16, 48],
  ])('of %s at a moderate tempo stays straight', (_, count, tempo) => {
    const { right, tuplets } = read([...PLAIN, evenly(count)], tempo, 10);
    expect(right).toBeGreaterThan(0.99);
    expect(tuplets.size).toBe(0);
  });
});

describe('five onsets in a beat that are no quintuplet', () => {
  const mixed: Rhythms = [
    ...PLAIN,
    [0, 0.25, 0.5, 0.75, 0.875],
    [0, 0.125, 0.25, 0.5, 0.75],
    [0, 0.25, 0.375, 0.5, 0.75],
    [0, 0.25, 0.5, 0.625, 0.75],
    [0, 0.5, 0.625, 0.75, 0.875],
  ];

  it.each([60, 80, 100])('sixteenths among thirty-seconds at %i, with 15 ms of spread', (tempo) => {
    const { right, tuplets } = read(mixed, tempo, 15);
    expect(right).toBeGreaterThan(0.98);
    expect(tuplets.size).toBe(0);
  });

  it('sixteenths and a triplet in one beat', () => {
    const { tuplets } = read([...PLAIN, [0, 0.25, 0.5, 2 / 3, 5 / 6], [0, 1 / 6, 1 / 3, 0.5, 0.75]], 80, 12);
    expect([...tuplets]).toEqual(['3:2']);
  });

  it('plain sixteenths, loosely played', () => {
    const { tuplets } = read([evenly(4), evenly(4), [0, 0.5]], 110, 30);
    expect([...tuplets].filter((ratio) => ratio === '5:4' || ratio === '7:4')).toEqual([]);
  });
});
