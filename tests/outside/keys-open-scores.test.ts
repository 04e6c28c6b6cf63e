/**
 * Keys heard in scores that people set (OpenScore, CC0, tests/data/LICENCES.md), beside the keys by which catalogues name the movements, the
 * keys in which songs end and the signatures that are printed. Nothing is stated to the search.
 */
import { describe, expect, it } from 'vitest';
import { className } from '../../src/model/music/pitch.ts';
import { OPENING_KEYS, isKey, keysHeard, printedKey, signedBars } from '../support/key-truth.ts';
import { readMxl } from '../support/musicxml-score.ts';
import { hasWholeData, openFile, openFiles, unlessWhole } from '../support/open-data.ts';
import { stageOfScore } from '../support/score-stage.ts';
import { notated } from '../support/notated.ts';

const orchestra = openFiles('openscore-orchestra');
const songs = openFiles('openscore-lieder');

describe('an orchestral movement', () => {
  it.each(orchestra)('%s opens in its key', (file) => {
    const [first] = keysHeard(readMxl(openFile('openscore-orchestra', file)));
    expect(isKey(first, OPENING_KEYS[file.replace('.mxl', '')]!)).toBe(true);
  });

  // D. Grout, A History of Western Music, and any score: Adagio, bars 1 to 16, then Allegro (from memory).
  it.runIf(hasWholeData)(
    `with a slow introduction in minor turns to major where the Allegro begins${unlessWhole}`,
    () => {
      const [introduction, allegro] = keysHeard(readMxl(openFile('openscore-orchestra', 'Haydn_104_1.mxl')));
      expect(introduction).toMatchObject({ from: 1, to: 16, mode: 'minor' });
      expect(allegro).toMatchObject({ from: 17, tonic: { step: 'D', alter: 0 }, mode: 'major' });
    },
  );
});

describe('songs', () => {
  it('open in the key of their signature, all but one', () => {
    const answers = songs.flatMap((file) => {
      const score = readMxl(openFile('openscore-lieder', file));
      const key = printedKey(score);
      return key === undefined ? [] : [isKey(keysHeard(score)[0], key)];
    });
    // One song of the fourteen ends elsewhere than it is printed.
    expect(answers.length).toBeGreaterThanOrEqual(songs.length - 1);
    expect(answers.filter((answer) => answer).length).toBeGreaterThanOrEqual(answers.length - 1);
  });
});

describe.runIf(hasWholeData)(`a diminished chord over a lying tonic${unlessWhole}`, () => {
  // Schubert D. 485 i, bars 42 and 204: the bass note that is printed as B flat and as E flat is the root, not a raised seventh degree.
  it('is named on the note that is printed', () => {
    const score = readMxl(openFile('openscore-orchestra', 'Schubert_D.485_1.mxl'));
    const { chords } = notated(stageOfScore(score, { foreground: 'Violin 1' }).stage);
    const roots = new Set(chords.map(({ root }) => className(root)));
    expect([...roots].filter((name) => name === 'A#' || name === 'D#')).toEqual([]);
    expect(chords.filter(({ roman }) => roman.startsWith('#vii'))).toEqual([]);
  });
});

describe('signatures', () => {
  // A sonata movement goes to its dominant under the signature of the home key (common practice; the printed scores are the check).
  it('stand where they are printed in nine bars of ten', () => {
    const shares = ['openscore-quartets', 'openscore-lieder', 'openscore-orchestra'].flatMap((set) =>
      openFiles(set).map((file) => {
        const score = readMxl(openFile(set, file));
        const { right, all } = signedBars(score, keysHeard(score));
        return right / all;
      }),
    );
    expect(shares.reduce((sum, share) => sum + share, 0) / shares.length).toBeGreaterThan(0.9);
  });
});
