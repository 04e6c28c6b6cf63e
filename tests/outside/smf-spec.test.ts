/**
 * Source: Standard MIDI Files 1.0, MIDI Manufacturers Association RP-001 (1988): the table of variable-length
 * quantities and the two example files printed in it (one piece, as format 0 and as format 1).
 */
import { describe, expect, it } from 'vitest';
import { readMidi } from '../../src/read/midi/read-midi.ts';
import { header, chunk } from '../support/midi-bytes.ts';

function bytesOf(hex: string): number[] {
  return hex
    .trim()
    .split(/\s+/)
    .map((byte) => Number.parseInt(byte, 16));
}

describe('variable-length quantities as the standard prints them', () => {
  it.each([
    [0x00000000, '00'],
    [0x00000040, '40'],
    [0x0000007f, '7F'],
    [0x00000080, '81 00'],
    [0x00002000, 'C0 00'],
    [0x00003fff, 'FF 7F'],
    [0x00004000, '81 80 00'],
    [0x00100000, 'C0 80 00'],
    [0x001fffff, 'FF FF 7F'],
    [0x00200000, '81 80 80 00'],
    [0x08000000, 'C0 80 80 00'],
    [0x0fffffff, 'FF FF FF 7F'],
  ])('%i is written as %s', (amount, hex) => {
    // The quantity as the delta time of the end of a note that began at 0, in the finest division there is.
    const events = [...bytesOf('00 90 3C 40'), ...bytesOf(hex), ...bytesOf('80 3C 40 00 FF 2F 00')];
    const { file } = readMidi(Uint8Array.from([...header(0, 1, 0x7fff), ...chunk('MTrk', events)]), 'quantity.mid');
    // A note of no length is given one tick; all others show their length.
    expect(file?.tracks[0]?.notes[0]?.endTick).toBe(Math.max(amount, 1));
  });

  it('more than four bytes are against the standard', () => {
    const events = bytesOf('00 90 3C 40 80 80 80 80 60 80 3C 40 00 FF 2F 00');
    const { problems } = readMidi(Uint8Array.from([...header(0, 1, 96), ...chunk('MTrk', events)]), 'long.mid');
    expect(problems.map(({ code }) => code)).toEqual(['long-quantity']);
  });
});

const FORMAT_0 = bytesOf(`
  4D 54 68 64 00 00 00 06 00 00 00 01 00 60
  4D 54 72 6B 00 00 00 3B
  00 FF 58 04 04 02 18 08  00 FF 51 03 07 A1 20
  00 C0 05  00 C1 2E  00 C2 46
  00 92 30 60  00 3C 60
  60 91 43 40  60 90 4C 20
  81 40 82 30 40  00 3C 40  00 81 43 40  00 80 4C 40
  00 FF 2F 00`);

const FORMAT_1 = bytesOf(`
  4D 54 68 64 00 00 00 06 00 01 00 04 00 60
  4D 54 72 6B 00 00 00 14
  00 FF 58 04 04 02 18 08  00 FF 51 03 07 A1 20  83 00 FF 2F 00
  4D 54 72 6B 00 00 00 10
  00 C0 05  81 40 90 4C 20  81 40 4C 00  00 FF 2F 00
  4D 54 72 6B 00 00 00 0F
  00 C1 2E  60 91 43 40  82 20 43 00  00 FF 2F 00
  4D 54 72 6B 00 00 00 15
  00 C2 46  00 92 30 60  00 3C 60  83 00 30 00  00 3C 00  00 FF 2F 00`);

describe.each([
  ['format 0', 0, FORMAT_0, [1, 1, 1]],
  ['format 1', 1, FORMAT_1, [2, 3, 4]],
] as const)('the example of the standard in %s', (_, format, bytes, trackNumbers) => {
  const { file, problems } = readMidi(Uint8Array.from(bytes), 'example.mid');

  it('is read without a remark', () => {
    expect(problems).toEqual([]);
    expect(file?.format).toBe(format);
    expect(file?.division).toEqual({ kind: 'ppq', ticksPerQuarter: 96 });
  });

  it('is in 4/4 at 120 quarter notes a minute', () => {
    expect(file?.meters).toEqual([{ tick: 0, numerator: 4, denominator: 4, track: 1 }]);
    expect(file?.tempos.map(({ tick }) => tick)).toEqual([0]);
    expect(file?.tempos[0]?.microsecondsPerQuarter).toBe(500_000);
  });

  it('has the programs, pitches, velocities and times that its text describes', () => {
    const shown = file?.tracks.map(({ track, channel, program, notes }) => ({
      track,
      channel,
      program,
      notes: notes.map(({ midi, velocity, startTick, endTick }) => [midi, velocity, startTick, endTick]),
    }));
    expect(shown).toEqual([
      { track: trackNumbers[0], channel: 0, program: 5, notes: [[76, 32, 192, 384]] },
      { track: trackNumbers[1], channel: 1, program: 46, notes: [[67, 64, 96, 384]] },
      {
        track: trackNumbers[2],
        channel: 2,
        program: 70,
        notes: [
          [48, 96, 0, 384],
          [60, 96, 0, 384],
        ],
      },
    ]);
    expect(file?.lastTick).toBe(384);
  });
});
