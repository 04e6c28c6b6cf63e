/**
 * Every note of the samples and the beginnings of open scores, read back from the drawn pictures, against a second engraver (VexFlow 5, MIT):
 * lines and heads, small notes, accidentals, meters, rests, stems, flags, beams, dots, tuplet figures. Where we mean to differ is said in
 * `compare-engravers`. Scores: OpenScore, CC0.
 */
import { resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { bigBand } from '../kinds/folders/big-band.ts';
import { signatureSigns } from '../../src/draw/engrave/accidentals-beams-rests/clef-signs.ts';
import { fullScore } from '../../src/notate/full-score/full-score.ts';
import { disagreements } from '../support/compare-engravers.ts';
import { readMxl } from '../support/musicxml-score.ts';
import { openFile, openFiles } from '../support/open-data.ts';
import { arrangementIn } from '../support/read-stages.ts';
import { stageOfScore } from '../support/score-stage.ts';
import { secondSignature } from '../support/second-engraver.ts';
import { stageOfKind } from '../support/kind-stage.ts';
import { notated } from '../support/notated.ts';

/** Of each open score: reading pictures back takes long. */
const BARS = 24;
const FOLDERS = ['openscore-quartets', 'openscore-orchestra', 'openscore-lieder'];

describe('against a second engraver', () => {
  it.each(['treble', 'treble-8', 'bass', 'bass-8', 'alto', 'tenor'] as const)('signatures in the %s clef', (clef) => {
    for (let fifths = -7; fifths <= 7; fifths++) {
      const own = signatureSigns(fifths, clef).map(({ glyph, y }) => [
        glyph.codePointAt(0)?.toString(16).toUpperCase(),
        y,
      ]);
      expect(own).toEqual(secondSignature(fifths, clef).map(({ code, y }) => [code, y]));
    }
  });

  it.each(['ferry-lights', 'salt-stair'])('the sample %s, both readings of every stage', async (name) => {
    const folder = resolve('sample-input', name);
    for (const stage of (await arrangementIn(folder)).stages) {
      const written = notated(stage);
      const full = fullScore(stage, written, 'concert');
      for (const score of [written.reduced, full, fullScore(stage, written, 'written')])
        expect(disagreements(score, 1200).found).toEqual([]);
    }
  });

  it('a big band, its choirs on staves of their own', async () => {
    const { reduced } = notated(await stageOfKind(bigBand));
    expect(reduced.staves.length).toBeGreaterThan(4);
    expect(disagreements(reduced, 1200).found).toEqual([]);
  });

  const files = FOLDERS.flatMap((folder) => openFiles(folder).map((file) => openFile(folder, file)));
  it.each(files)('%s', (file) => {
    const read = readMxl(file);
    const { stage } = stageOfScore(read, { foreground: read.parts[0]?.name ?? '' });
    const written = notated(stage);
    for (const { staves, bars } of [written.reduced, fullScore(stage, written, 'written')])
      expect(disagreements({ staves, bars: bars.slice(0, BARS) }, 1400).found).toEqual([]);
  });
});
