/** Recordings of the parts of a small piece: what belongs to whom, and what is odd about one. */
import { describe, expect, it } from 'vitest';
import type { Arrangement } from '../../src/model/music/arrangement.ts';
import { diskOfFolder } from '../support/memory-disk.ts';
import { arrangementIn } from '../support/read-stages.ts';
import { wavBytes } from '../support/sound-bytes.ts';
import { struckPiece, struckRecording, STRUCK_RATE_HZ, STRUCK_SECONDS } from '../support/struck-piece.ts';

const MIDI = struckPiece([
  ['Flute', 72],
  ['Violin I', 67],
  ['Violin II', 62],
  ['Cello', 48],
]);

function read(files: Readonly<Record<string, Uint8Array>>): Promise<Arrangement> {
  return arrangementIn('/in', diskOfFolder('/in', [['piece.mid', MIDI], ...Object.entries(files)]));
}

const heldBy = ({ stages }: Arrangement) =>
  Object.fromEntries(stages[0]?.stems?.map(({ file, partIds }) => [file, partIds]) ?? []);

describe('a recording', () => {
  it('is named after a part or a group, with a number or the piece before it', async () => {
    const arrangement = await read({
      'stems/01 Flute.wav': struckRecording(),
      'stems/piece - Violins.wav': struckRecording(),
      'stems/Vc.wav': struckRecording(),
    });
    expect(heldBy(arrangement)).toEqual({
      'stems/01 Flute.wav': ['flute'],
      'stems/piece - Violins.wav': ['violin-1', 'violin-2'],
      'stems/Vc.wav': ['cello'],
    });
    expect(arrangement.problems).toEqual([]);
  });

  it('of a group has those that have no recording of their own', async () => {
    const arrangement = await read({ 'stems/Violin I.wav': struckRecording(), 'stems/Strings.wav': struckRecording() });
    expect(heldBy(arrangement)).toEqual({
      'stems/Violin I.wav': ['violin-1'],
      'stems/Strings.wav': ['violin-2', 'cello'],
    });
  });

  it('lies on the notes by its onsets', async () => {
    const arrangement = await read({
      'stems/Flute.wav': struckRecording({ lead: 3.4 }),
      'stems/Cello.wav': struckRecording({ lead: 3.4 }),
    });
    // Tones that begin and end so hard are found a little early; how near the place is, is tested in place-on-notes.
    for (const { offsetSeconds } of arrangement.stages[0]?.stems ?? [])
      expect(Math.abs(offsetSeconds - 3.4)).toBeLessThan(0.025);
  });

  it('need not last longer than the music of its part, nor than another of the same part', async () => {
    const piece = struckPiece([
      ['Flute', 72, 20],
      ['Cello', 48],
    ]);
    const short = struckRecording({ length: STRUCK_SECONDS - 6 });
    const files = { 'stems/Flute.wav': short, 'stems/Cello pizz.wav': short, 'stems/Cello.wav': struckRecording() };
    const all = [['piece.mid', piece], ...Object.entries(files)] as const;
    const { stages, problems } = await arrangementIn('/in', diskOfFolder('/in', all));
    expect(stages[0]?.stems?.map(({ partIds }) => partIds)).toEqual([['cello'], ['cello'], ['flute']]);
    expect(problems).toEqual([]);
  });

  it('whose onsets tell nothing has its place asked for', async () => {
    const hum = wavBytes(
      [Float32Array.from({ length: 30 * STRUCK_RATE_HZ }, (_, index) => 0.1 * Math.sin(index / 9))],
      {
        rateHz: STRUCK_RATE_HZ,
      },
    );
    const [stage] = (await read({ 'stems/Flute.wav': hum })).stages;
    expect(stage?.questions.map(({ text }) => text).join()).toContain(
      'Where in the recordings in “stems” does the first bar begin?',
    );
  });
});

describe('what is odd about a recording is said in one sentence', () => {
  const others = { 'stems/Violin I.wav': struckRecording(), 'stems/Violin II.wav': struckRecording() };

  it.each<readonly [string, string, Uint8Array, RegExp]>([
    ['nobody', 'Kazoo', struckRecording(), /^No part of “.*” is called “Kazoo”/],
    ['silence', 'Cello', struckRecording({ gain: 0 }), /^This recording is silent/],
    ['a cut top', 'Cello', struckRecording({ gain: 3 }), /^The top of the sound is cut off in \d+ places/],
    ['one channel', 'Cello', struckRecording({ channels: 1 }), /^This recording has one channel where most have more/],
    [
      'another rate',
      'Cello',
      struckRecording({ rateHz: 22050 }),
      /^This recording has 22050 samples a second where most have 16000/,
    ],
    [
      'a missing end',
      'Cello',
      struckRecording({ length: STRUCK_SECONDS - 6 }),
      /^This recording ends [56] seconds before the music/,
    ],
    [
      'much after the end',
      'Cello',
      struckRecording({ length: STRUCK_SECONDS + 40 }),
      /^This recording goes on for [34]\d seconds after the music/,
    ],
    [
      'another place',
      'Cello',
      struckRecording({ lead: 0.7 }),
      /^This recording lies 0\.[67]\d seconds later than the others/,
    ],
    ['no audio', 'Cello', new Uint8Array(500), /^What is in this file is no audio/],
  ])('%s', async (_, name, bytes, sentence) => {
    const { problems } = await read({ ...others, [`stems/${name}.wav`]: bytes });
    expect(problems.map(({ file }) => file)).toEqual([`stems/${name}.wav`]);
    expect(problems[0]?.message).toMatch(sentence);
  });
});
