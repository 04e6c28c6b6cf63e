/**
 * Whole printed movements, played by their notes and engraved anew: nothing may lie on anything else. Scores: OpenScore string
 * quartets, songs and the Hauptstimme corpus, CC0. What must not touch is a copyist's craft (E. Gould, Behind Bars, from memory).
 */
import { describe, expect, it } from 'vitest';
import { engraveScore } from '../../src/draw/engrave/score/engrave-score.ts';
import { prepareSample } from '../../src/library.ts';
import { fullScore } from '../../src/notate/full-score/full-score.ts';
import type { EngravedScore } from '../../src/model/drawing.ts';
import type { ReducedScore } from '../../src/model/music/written.ts';
import { inkClashes, readSystem } from '../draw/engrave/drawn.ts';
import { readMxl } from '../support/musicxml-score.ts';
import { openFile, openFiles } from '../support/open-data.ts';
import { stageOfScore } from '../support/score-stage.ts';
import { notated } from '../support/notated.ts';

/** Clashes of all systems, each with the bars where it is. */
function clashesOf({ systems }: EngravedScore): string[] {
  return systems.flatMap((system) =>
    [system, ...system.narrow].flatMap((picture) =>
      inkClashes(readSystem(picture.svg)).map((clash) => `${picture.label.slice(0, 60)} ${clash}`),
    ),
  );
}

/** The first bars of a score: parsing pictures of whole movements takes minutes. */
function beginning({ staves, bars }: ReducedScore, count: number): ReducedScore {
  return { staves, bars: bars.slice(0, count) };
}

describe('the sample', () => {
  it('has no ink on ink in any score of any stage, wide or narrow', async () => {
    const { stages } = await prepareSample();
    const clashes = stages.flatMap(({ score, fullScores }) =>
      [score, ...fullScores.flatMap(({ pages }) => pages)].flatMap(clashesOf),
    );
    expect(clashes).toEqual([]);
  });
});

const BARS = 40;

describe('open scores', () => {
  const movements = [
    ...openFiles('openscore-quartets').map((file) => ['openscore-quartets', file] as const),
    ...openFiles('openscore-orchestra').map((file) => ['openscore-orchestra', file] as const),
    ...openFiles('openscore-lieder')
      .slice(0, 6)
      .map((file) => ['openscore-lieder', file] as const),
  ];
  it.each(movements)('%s/%s has no ink on ink, reduced or full, wide or narrow', (folder, file) => {
    const read = readMxl(openFile(folder, file));
    const { stage } = stageOfScore(read, { foreground: read.parts[0]?.name ?? '' });
    const written = notated(stage);
    const reduced = engraveScore(beginning(written.reduced, BARS), { widthPx: 1100, narrowPx: 520, title: 'R' });
    const full = engraveScore(beginning(fullScore(stage, written, 'written'), BARS), {
      widthPx: 1400,
      title: 'F',
      hideEmpty: true,
    });
    expect([...clashesOf(reduced), ...clashesOf(full)]).toEqual([]);
  });
});
