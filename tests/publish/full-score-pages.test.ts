/** The pages of the full scores: which there are, and how one comes from one to the other without a script. */
import { describe, expect, it } from 'vitest';
import { engraveFullScores } from '../../src/engrave-full-scores.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { preparePages } from '../../src/publish/render/prepare-pages.ts';
import { buildSheets } from '../../src/publish/page-data/build-sheets.ts';
import type { DossierInput } from '../../src/publish/dossier-input.ts';
import { arrangementOf, partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { publishedOf, smallDossier } from '../support/published.ts';

const timeline = timelineOf(4);
const flute = partOf('flute', 'G5:0:4 A5:4:4 B5:8:4 G5:12:4', timeline, { role: 'foreground' });
const clarinet = partOf('clarinet-bflat', 'G4:0:4 A4:4:4 B4:8:4 G4:12:4', timeline);
const cello = partOf('cello', 'G2:0:16', timeline);

function dossier(): DossierInput {
  const stages = [
    stageOf([flute], timeline, { id: 'stage-01-tune', order: 1, title: 'Tune' }),
    stageOf([flute, cello], timeline, { id: 'stage-02-bass', order: 2, title: 'Bass' }),
    stageOf([flute, clarinet, cello], timeline, { id: 'stage-03-all', order: 3, title: 'All' }),
  ];
  return smallDossier({
    arrangement: arrangementOf(stages),
    stages: stages.map((stage) =>
      publishedOf(stage, { fullScores: engraveFullScores(stage, notateStage(stage), stage === stages.at(-1)) }),
    ),
  });
}

describe('full scores', () => {
  it.each([
    [
      'eighteen staves fill a sheet of A4 on its long side with one system: 135 to 172 mm of its 183',
      18,
      271,
      135,
      172,
    ],
    ['twenty-six fill an upright one: 190 to 245 mm of its 268', 26, 184, 190, 245],
  ])('of %s (the sheet less its margins)', (_, staves, sheetMm, least, most) => {
    const players = Array.from({ length: staves }, (_, index) =>
      partOf('flute', 'G5:0:4 A5:4:4 B5:8:4 G5:12:4', timeline, { name: `Flute ${String(index + 1)}` }),
    );
    const stage = stageOf(players, timeline);
    const [score] = engraveFullScores(stage, notateStage(stage), true);
    const [, width = 0, height = 0] = / viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(score!.pages[0]!.systems[0]!.svg) ?? [];
    const printedMm = (Number(height) * sheetMm) / Number(width);
    expect(printedMm).toBeGreaterThan(least);
    expect(printedMm).toBeLessThan(most);
    expect(score!.pages[0]!.isLandscape === true).toBe(sheetMm > 200);
  });

  it('lie on the long side of the paper that the settings name', () => {
    const input = dossier();
    const arrangement = { ...input.arrangement, paper: 'letter' as const };
    const { frame } = preparePages({ ...input, arrangement }, { style: '', script: '', singleFile: false });
    expect(frame.style.toString().replaceAll(/\s+/g, ' ')).toMatch(
      /@page landscape-score ?\{ ?size: ?letter landscape/,
    );
  });

  const names = (singleFile: boolean): string[] =>
    buildSheets(dossier(), singleFile)
      .filter(({ kind }) => kind === 'score')
      .map(({ fileName }) => fileName);

  it('a stage has one at concert pitch, and one as players read it only where somebody transposes', () => {
    expect(names(false)).toEqual([
      'full-score-concert.html',
      'full-score-written.html',
      'stage-02-bass-full-score-concert.html',
    ]);
  });

  it('a single file holds those of the current stage, and short ones of earlier stages at concert pitch', () => {
    expect(names(true)).toEqual(names(false));
  });

  it('links lead from the reduced score to both, and from each to the other and back', () => {
    const sheets = buildSheets(dossier(), false);
    const bodyOf = (fileName: string, id: string) =>
      sheets.find((sheet) => sheet.fileName === fileName)!.sections.find((section) => section.id === id)!.body as {
        fullScores?: { href: string }[];
        links?: { href: string }[];
      };
    expect(bodyOf('index.html', 'score').fullScores?.map(({ href }) => href)).toEqual([
      'full-score-concert.html',
      'full-score-written.html',
    ]);
    expect(bodyOf('full-score-concert.html', 'full-score').links?.map(({ href }) => href)).toEqual([
      'full-score-written.html',
      'index.html#score',
    ]);
  });

  it('a stage too long for that has one reading, and none of an earlier stage', () => {
    const long = timelineOf(300);
    const parts = Array.from({ length: 41 }, (_, index) =>
      partOf('violin', index === 0 ? 'G4:0:4' : '', long, { name: `Violin ${String(index + 1)}` }),
    );
    const stage = stageOf([...parts, clarinet], long);
    const written = { ...notateStage(stageOf([clarinet], timeline)), parts: [] };
    expect(engraveFullScores(stage, written, false)).toEqual([]);
    const [only, ...others] = engraveFullScores(stage, written, true);
    expect(only?.reading).toBe('concert');
    expect(others).toEqual([]);
    expect(only!.pages.length).toBeGreaterThan(2);
    const bars = only!.pages.flatMap(({ systems }) =>
      systems.flatMap((system) => system.bars.map(({ number }) => number)),
    );
    expect(bars).toEqual(Array.from({ length: 300 }, (_, index) => index + 1));
  });
});
