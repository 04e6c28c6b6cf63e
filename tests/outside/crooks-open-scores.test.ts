/**
 * Horns, trumpets and clarinets in the keys of classical scores, by name and company, against what the score itself says between written
 * and sounding pitch (MusicXML, `transpose`). Scores: the Hauptstimme corpus, CC0.
 */
import { describe, expect, it } from 'vitest';
import { assemble } from '../../src/assemble/assemble.ts';
import { rawFolder, rawStage } from '../assemble/raw-folder.ts';
import { readMxl } from '../support/musicxml-score.ts';
import { openFile, openFiles } from '../support/open-data.ts';
import { exportedScore } from '../support/score-export.ts';
import { instrumentOf } from '../support/score-stage.ts';

const ORCHESTRA = 'openscore-orchestra';
/** Instruments of the catalogue that are one to whoever names parts: a trumpet in C, a clarinet in A. */
const PLAIN: ReadonlyMap<string, string> = new Map([
  ['trumpet-bflat', 'trumpet-c'],
  ['clarinet-a', 'clarinet-bflat'],
]);
const plain = (id: string): string => PLAIN.get(id) ?? id;
/** The figured bass is played by whoever is there: its name tells of no instrument. */
const isNamed = (name: string): boolean => !/continuo/i.test(name);

describe('parts of classical scores', () => {
  it.each(openFiles(ORCHESTRA))('%s: everybody is who the name says, in the key of the print', (file) => {
    const score = readMxl(openFile(ORCHESTRA, file));
    const { parts } = assemble(rawFolder([exportedScore(score)]), { folderName: file }).stages[0]!;
    const read = parts.flatMap(({ tracks, instrument, transposition }) =>
      tracks.filter(({ name }) => isNamed(name)).map(({ name }) => [name, plain(instrument), transposition.semitones]),
    );
    const printed = score.parts
      .filter(({ name, notes }) => notes.length > 0 && isNamed(name))
      .map(({ name, transposition }) => [name, plain(instrumentOf(name)), transposition]);
    expect([...read].sort()).toEqual([...printed].sort());
  });
});

// Harmonics 2 to 16 of the crook are what a natural horn plays open (acoustics; any book on natural horns).
describe('a pair of horns in B flat, no word of alto or basso', () => {
  const semitonesOf = (first: string, second: string, name = 'Horn in Bb'): readonly number[] =>
    assemble(
      rawFolder([
        rawStage('01', {
          tracks: [
            { name: 'Oboe', music: 'D5:0:4 C5:4:4' },
            { name: `${name} 1`, music: first },
            { name: `${name} 2`, music: second },
            { name: 'Violin 1', music: 'F5:0:4 Eb5:4:4' },
            { name: 'Cello', music: 'Bb2:0:4 F2:4:4' },
          ],
        }),
      ]),
      { folderName: 'test' },
    )
      .stages[0]!.parts.filter(({ instrument }) => instrument === 'horn-f')
      .map(({ transposition }) => transposition.semitones);
  const scale = 'Bb3:0:1 C4:1:1 D4:2:1 Eb4:3:1 F4:4:1 D4:5:1 C4:6:1 Bb3:7:1';
  const fifths = 'F3:0:1 Bb3:1:1 D4:2:1 F4:3:1 Bb4:4:1 F4:5:1 D4:6:1 Bb3:7:1';

  it('stands low where a scale is played that only the harmonics of the low crook have, both players together', () => {
    expect(semitonesOf(scale, scale)).toEqual([-14, -14]);
    expect(semitonesOf(scale, fifths)).toEqual([-14, -14]);
  });

  it('stands high where its notes are harmonics of either, or of neither: horns with valves', () => {
    expect(semitonesOf(fifths, fifths)).toEqual([-2, -2]);
    expect(semitonesOf(scale.replaceAll('Eb4', 'E4'), scale.replaceAll('C4', 'B3'))).toEqual([-2, -2]);
  });

  it('stands where its name says', () => {
    expect(semitonesOf(scale, scale, 'Horn in Bb alto')).toEqual([-2, -2]);
    expect(semitonesOf(fifths, fifths, 'Horn in Bb basso')).toEqual([-14, -14]);
  });

  it('has no like in A: that crook is the high one (common practice, no source)', () => {
    const inA = 'A3:0:1 B3:1:1 C#4:2:1 D4:3:1 E4:4:1 C#4:5:1 B3:6:1 A3:7:1';
    expect(semitonesOf(inA, inA, 'Horn in A')).toEqual([-3, -3]);
    expect(semitonesOf(inA, inA, 'Horn in A basso')).toEqual([-15, -15]);
  });
});
