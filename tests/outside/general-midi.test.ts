import { createRequire } from 'node:module';
import { describe, expect, it } from 'vitest';
import { catalogue, instrumentById } from '../../src/model/music/catalogue.ts';

// The table of another reader of MIDI files, @tonejs/midi, made from the General MIDI Level 1 sound set.
const require = createRequire(import.meta.url);
const { instrumentByPatchID } = require('@tonejs/midi/dist/InstrumentMaps.js') as {
  instrumentByPatchID: readonly string[];
};

const letters = (name: string): string => name.toLowerCase().replaceAll(/[^a-z0-9]/g, '');

describe('General MIDI programs', () => {
  const { programs } = catalogue.generalMidi;

  it('there are 128, numbered from 0 as they are sent', () => {
    expect(programs.map((record) => record.program)).toEqual(Array.from({ length: 128 }, (_, index) => index));
  });

  it('carry the names that @tonejs/midi has for them', () => {
    expect(instrumentByPatchID).toHaveLength(128);
    const differing = programs.filter(
      (record) => letters(record.name) !== letters(instrumentByPatchID[record.program] ?? ''),
    );
    expect(differing.map((record) => [record.program, record.name, instrumentByPatchID[record.program]])).toEqual([]);
  });

  // General MIDI Level 1 sound set as printed by the MIDI Association: printed numbers, one more than what is sent.
  it.each([
    [1, 'piano'],
    [7, 'harpsichord'],
    [10, 'glockenspiel'],
    [12, 'vibraphone'],
    [13, 'marimba'],
    [14, 'xylophone'],
    [15, 'tubular-bells'],
    [20, 'organ'],
    [22, 'accordion'],
    [25, 'guitar'],
    [34, 'bass-guitar'],
    [41, 'violin'],
    [42, 'viola'],
    [43, 'cello'],
    [44, 'double-bass'],
    [47, 'harp'],
    [48, 'timpani'],
    [49, 'string-ensemble'],
    [53, 'choir'],
    [57, 'trumpet-bflat'],
    [58, 'trombone-tenor'],
    [59, 'tuba'],
    [61, 'horn-f'],
    [66, 'sax-alto'],
    [69, 'oboe'],
    [70, 'cor-anglais'],
    [71, 'bassoon'],
    [72, 'clarinet-bflat'],
    [73, 'piccolo'],
    [74, 'flute'],
    [75, 'recorder-treble'],
  ] as const)('printed number %i is %s', (printed, id) => {
    expect(programs[printed - 1]?.instrument).toBe(id);
    expect(instrumentById(id)?.gmPrograms).toContain(printed - 1);
  });

  it('every instrument that a program stands for is in the catalogue', () => {
    for (const { instrument } of programs)
      if (instrument !== undefined) expect(instrumentById(instrument)?.id).toBe(instrument);
  });
});
