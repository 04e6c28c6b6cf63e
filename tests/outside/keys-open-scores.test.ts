/**
 * Keys heard in scores that people set (OpenScore, CC0, ../shared/data/LICENCES.md), beside the keys by which catalogues name the movements, the
 * keys in which songs end and the signatures that are printed. Nothing is stated to the search. Skipped where the data are absent.
 */
import { existsSync, readdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { className } from '../../src/model/pitch.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { OPENING_KEYS, isKey, keysHeard, printedKey, signedBars } from '../support/key-truth.ts';
import { readMxl } from '../support/musicxml-score.ts';
import { stageOfScore } from '../support/score-stage.ts';

const DATA = resolve('../shared/data');

function filesOf(set: string): string[] {
  const folder = join(DATA, set);
  return existsSync(folder) ? readdirSync(folder).filter((name) => name.endsWith('.mxl')) : [];
}

const orchestra = filesOf('openscore-orchestra');
const songs = filesOf('openscore-lieder');

describe.skipIf(orchestra.length === 0)('an orchestral movement', () => {
  it.each(Object.entries(OPENING_KEYS))('%s opens in its key', (name, key) => {
    const [first] = keysHeard(readMxl(join(DATA, 'openscore-orchestra', `${name}.mxl`)));
    expect(isKey(first, key)).toBe(true);
  });

  // D. Grout, A History of Western Music, and any score: Adagio, bars 1 to 16, then Allegro (from memory).
  it('with a slow introduction in minor turns to major where the Allegro begins', () => {
    const [introduction, allegro] = keysHeard(readMxl(join(DATA, 'openscore-orchestra', 'Haydn_104_1.mxl')));
    expect(introduction).toMatchObject({ from: 1, to: 16, mode: 'minor' });
    expect(allegro).toMatchObject({ from: 17, tonic: { step: 'D', alter: 0 }, mode: 'major' });
  });
});

describe.skipIf(songs.length === 0)('songs', () => {
  it('open in the key of their signature, 12 of 13', () => {
    const answers = songs.flatMap((file) => {
      const score = readMxl(join(DATA, 'openscore-lieder', file));
      const key = printedKey(score);
      return key === undefined ? [] : [isKey(keysHeard(score)[0], key)];
    });
    expect(answers.length).toBe(13);
    expect(answers.filter((answer) => answer).length).toBeGreaterThanOrEqual(12);
  });
});

describe.skipIf(orchestra.length === 0)('a diminished chord over a lying tonic', () => {
  // Schubert D. 485 i, bars 42 and 204: the bass note that is printed as B flat and as E flat is the root, not a raised seventh degree.
  it('is named on the note that is printed', () => {
    const score = readMxl(join(DATA, 'openscore-orchestra', 'Schubert_D.485_1.mxl'));
    const { chords } = notateStage(stageOfScore(score, { foreground: 'Violin 1' }).stage);
    const roots = new Set(chords.map(({ root }) => className(root)));
    expect([...roots].filter((name) => name === 'A#' || name === 'D#')).toEqual([]);
    expect(chords.filter(({ roman }) => roman.startsWith('#vii'))).toEqual([]);
  });
});

describe.skipIf(orchestra.length === 0)('signatures', () => {
  // A sonata movement goes to its dominant under the signature of the home key (common practice; the printed scores are the check).
  it('stand where they are printed in nine bars of ten', () => {
    const shares = ['openscore-quartets', 'openscore-lieder', 'openscore-orchestra'].flatMap((set) =>
      filesOf(set).map((file) => {
        const score = readMxl(join(DATA, set, file));
        const { right, all } = signedBars(score, keysHeard(score));
        return right / all;
      }),
    );
    expect(shares.reduce((sum, share) => sum + share, 0) / shares.length).toBeGreaterThan(0.9);
  });
});
