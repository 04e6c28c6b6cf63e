/** Recordings of the parts of a small piece: what belongs to whom, and what is odd about one. */
import { describe, expect, it } from 'vitest';
import type { Arrangement } from '../../src/model/music/arrangement.ts';
import { diskOfFolder } from '../support/memory-disk.ts';
import { chunk, endOfTrack, header, noteOff, noteOn, trackName } from '../support/midi-bytes.ts';
import { arrangementIn } from '../support/read-stages.ts';
import { wavBytes } from '../support/sound-bytes.ts';

const RATE = 16000;
const QUARTER = 0.5;
/** Lengths in quarters, in no pattern that comes again. */
const RHYTHM = [
  1, 0.5, 1.5, 1, 2, 0.5, 0.5, 1, 1.5, 0.5, 2, 1, 0.5, 1, 1.5, 1, 0.5, 2.5, 1, 0.5, 1.5, 0.5, 1, 2, 1, 1.5, 0.5, 1, 1,
  2,
];
const SECONDS = RHYTHM.reduce((sum, length) => sum + length * QUARTER, 0);

const track = (name: string, midi: number): number[] =>
  chunk('MTrk', [
    ...trackName(name),
    ...RHYTHM.flatMap((length, index) => [
      ...noteOn(0, midi + (index % 5), 90),
      ...noteOff(Math.round(length * 96), midi + (index % 5)),
    ]),
    ...endOfTrack(),
  ]);

const PARTS = [
  ['Flute', 72],
  ['Violin I', 67],
  ['Violin II', 62],
  ['Cello', 48],
] as const;

const MIDI = Uint8Array.from([...header(1, PARTS.length, 96), ...PARTS.flatMap(([name, midi]) => track(name, midi))]);

interface Played {
  readonly lead?: number;
  readonly gain?: number;
  readonly channels?: number;
  readonly rate?: number;
  /** Seconds of the music that are there. */
  readonly length?: number;
}

/** Seconds in which a tone that is struck comes up. */
const ATTACK = 0.004;

/** A part of that rhythm, plainly: a tone that dies away for each note. */
function recording({ lead = 0, gain = 0.2, channels = 2, rate = RATE, length = SECONDS + 1 }: Played = {}): Uint8Array {
  const samples = new Float32Array(Math.round((lead + length) * rate));
  let second = lead;
  for (const each of RHYTHM) {
    const first = Math.round(second * rate);
    for (let index = first; index < Math.min(samples.length, first + each * QUARTER * rate); index++) {
      const age = (index - first) / rate;
      const strength = gain * Math.min(1, age / ATTACK) * Math.exp(-age / 0.15);
      samples[index] = strength * Math.sin(age * 2 * Math.PI * 600);
    }
    second += each * QUARTER;
  }
  return wavBytes(
    Array.from({ length: channels }, () => samples.map((sample) => Math.max(-1, Math.min(1, sample)))),
    { rateHz: rate },
  );
}

function read(files: Readonly<Record<string, Uint8Array>>): Promise<Arrangement> {
  return arrangementIn('/in', diskOfFolder('/in', [['piece.mid', MIDI], ...Object.entries(files)]));
}

const heldBy = ({ stages }: Arrangement) =>
  Object.fromEntries(stages[0]?.stems?.map(({ file, partIds }) => [file, partIds]) ?? []);

describe('a recording', () => {
  it('is named after a part or a group, with a number or the piece before it', async () => {
    const arrangement = await read({
      'stems/01 Flute.wav': recording(),
      'stems/piece - Violins.wav': recording(),
      'stems/Vc.wav': recording(),
    });
    expect(heldBy(arrangement)).toEqual({
      'stems/01 Flute.wav': ['flute'],
      'stems/piece - Violins.wav': ['violin-1', 'violin-2'],
      'stems/Vc.wav': ['cello'],
    });
    expect(arrangement.problems).toEqual([]);
  });

  it('of a group has those that have no recording of their own', async () => {
    const arrangement = await read({ 'stems/Violin I.wav': recording(), 'stems/Strings.wav': recording() });
    expect(heldBy(arrangement)).toEqual({
      'stems/Violin I.wav': ['violin-1'],
      'stems/Strings.wav': ['violin-2', 'cello'],
    });
  });

  it('lies on the notes by its onsets', async () => {
    const arrangement = await read({
      'stems/Flute.wav': recording({ lead: 3.4 }),
      'stems/Cello.wav': recording({ lead: 3.4 }),
    });
    // Tones that begin and end so hard are found a little early; how near the place is, is tested in place-on-notes.
    for (const { offsetSeconds } of arrangement.stages[0]?.stems ?? [])
      expect(Math.abs(offsetSeconds - 3.4)).toBeLessThan(0.025);
  });

  it('whose onsets tell nothing has its place asked for', async () => {
    const hum = wavBytes([Float32Array.from({ length: 30 * RATE }, (_, index) => 0.1 * Math.sin(index / 9))], {
      rateHz: RATE,
    });
    const [stage] = (await read({ 'stems/Flute.wav': hum })).stages;
    expect(stage?.questions.map(({ text }) => text).join()).toContain(
      'Where in the recordings in "stems" does the first bar begin?',
    );
  });
});

describe('what is odd about a recording is said in one sentence', () => {
  const others = { 'stems/Violin I.wav': recording(), 'stems/Violin II.wav': recording() };

  it.each<readonly [string, string, Uint8Array, RegExp]>([
    ['nobody', 'Kazoo', recording(), /^No part of ".*" is called "Kazoo"/],
    ['silence', 'Cello', recording({ gain: 0 }), /^This recording is silent/],
    ['a cut top', 'Cello', recording({ gain: 3 }), /^The top of the sound is cut off in \d+ places/],
    ['one channel', 'Cello', recording({ channels: 1 }), /^This recording has one channel where most have more/],
    [
      'another rate',
      'Cello',
      recording({ rate: 22050 }),
      /^This recording has 22050 samples a second where most have 16000/,
    ],
    [
      'a missing end',
      'Cello',
      recording({ length: SECONDS - 6 }),
      /^This recording ends [56] seconds before the music/,
    ],
    [
      'much after the end',
      'Cello',
      recording({ length: SECONDS + 40 }),
      /^This recording goes on for [34]\d seconds after the music/,
    ],
    [
      'another place',
      'Cello',
      recording({ lead: 0.7 }),
      /^This recording lies 0\.[67]\d seconds later than the others/,
    ],
    ['no audio', 'Cello', new Uint8Array(500), /^What is in this file is no audio/],
  ])('%s', async (_, name, bytes, sentence) => {
    const { problems } = await read({ ...others, [`stems/${name}.wav`]: bytes });
    expect(problems.map(({ file }) => file)).toEqual([`stems/${name}.wav`]);
    expect(problems[0]?.message).toMatch(sentence);
  });
});
