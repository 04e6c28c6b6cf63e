import { describe, expect, it } from 'vitest';
import { keyInSentence, withToldKeys } from '../../src/assemble/user-notes-and-settings/told-keys.ts';
import type { StatedKey } from '../../src/model/music/arrangement.ts';
import { className } from '../../src/model/music/pitch.ts';
import type { RawMemo } from '../../src/read/raw.ts';

/** `E dorian (2 sharps of D major)` as `E dorian/D major`. */
function said(sentence: string): string | undefined {
  const key = keyInSentence(sentence);
  if (key === undefined) return undefined;
  const plain = `${className(key.tonic)} ${key.mode}`;
  if (key.isPhrygianDominant === true) return `${plain}, from its dominant`;
  return key.modal === undefined ? plain : `${className(key.modal.tonic)} ${key.modal.name}/${plain}`;
}

describe('the key that a note names', () => {
  it.each([
    ['E dorian, dreamy, a bit of a dance.', 'E dorian/D major'],
    ['In G minor, slow.', 'G minor'],
    ['The piece is in B flat major.', 'Bb major'],
    ['Das Stück steht in g-Moll.', 'G minor'],
    ['D-Dur, nicht zu schnell.', 'D major'],
    ['D-Dur, langsam.', 'D major'],
    ['In B-Dur.', 'Bb major'],
    ['Tonart: fis-Moll', 'F# minor'],
    ['En sol mineur.', 'G minor'],
    ['En si bémol majeur.', 'Bb major'],
    ['Está en re menor.', 'D minor'],
    ['In la minore.', 'A minor'],
    ['In A frigio.', 'A phrygian/D minor'],
    ['Soleá por bulería, por medio (La frigio).', 'A phrygian/D minor'],
    ['A phrygian dominant throughout.', 'D minor, from its dominant'],
    ['Em dó maior.', 'C major'],
    ['Mode: D mixolydian', 'D mixolydian/G major'],
  ])('“%s”: %s', (sentence, key) => {
    expect(said(sentence)).toBe(key);
  });

  it.each([
    'Clarinet in B flat.',
    'A D major chord in bar 4.',
    'In bar 4, G minor chord.',
    'It modulates to G minor.',
    'Not in G minor.',
    'In G minor or in G major?',
    'A major problem with the horns.',
    'A minor change only.',
    'I like the A minor thing.',
  ])('none in “%s”', (sentence) => {
    expect(said(sentence)).toBeUndefined();
  });
});

const bars = Array.from({ length: 36 }, (_, index) => ({
  number: index + 1,
  startQuarters: index * 4,
  lengthQuarters: 4,
  startSecond: index * 2,
  lengthSeconds: 2,
  meter: { numerator: 4, denominator: 4 },
  tempo: 120,
}));
const memo = (markdown: string, span?: { from: number; to: number }): RawMemo => ({
  file: 'talk.md',
  line: 1,
  heading: '',
  markdown,
  parts: [],
  kind: 'remark',
  ...(span === undefined ? {} : { bars: { content: span, line: 1, column: 1 } }),
});
const D_MAJOR: StatedKey = { fromBar: 1, tonic: { step: 'D', alter: 0 }, mode: 'major', by: 'file' };
const texts = (keys: readonly StatedKey[]): readonly string[] =>
  keys.map(({ fromBar, tonic, mode, by }) => `${String(fromBar)} ${className(tonic)} ${mode} ${by}`);

describe('where the key of a note holds', () => {
  it('is the piece, before the one signature of the file', () => {
    expect(texts(withToldKeys([D_MAJOR], [memo('In B minor, slow.')], bars))).toEqual(['1 B minor note']);
    expect(texts(withToldKeys([], [memo('In B minor, slow.')], bars))).toEqual(['1 B minor note']);
  });

  it('is the bars of its heading or its sentence, after which the key before comes back', () => {
    const there = ['1 D major file', '17 G major note', '25 D major file'];
    expect(texts(withToldKeys([D_MAJOR], [memo('In G major.', { from: 17, to: 24 })], bars))).toEqual(there);
    expect(texts(withToldKeys([D_MAJOR], [memo('Bars 17-24, in G major.')], bars))).toEqual(there);
  });

  it('says the mode where files that change their signature have its own', () => {
    const G_MAJOR: StatedKey = { fromBar: 17, tonic: { step: 'G', alter: 0 }, mode: 'major', by: 'file' };
    const changing = [D_MAJOR, G_MAJOR, { ...D_MAJOR, fromBar: 25 }];
    const minor = ['1 B minor note', '17 G major file', '25 B minor note'];
    expect(texts(withToldKeys(changing, [memo('In B minor, slow.')], bars))).toEqual(minor);
    expect(texts(withToldKeys(changing, [memo('In C minor.')], bars))).toEqual(texts(changing));
  });

  it('is nowhere where notes differ, or the settings say the key', () => {
    expect(texts(withToldKeys([D_MAJOR], [memo('In B minor.\n\nIn E minor.')], bars))).toEqual(['1 D major file']);
    const set: StatedKey = { ...D_MAJOR, by: 'settings' };
    expect(texts(withToldKeys([set], [memo('In B minor.')], bars))).toEqual(['1 D major settings']);
  });
});
