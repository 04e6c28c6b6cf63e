import { describe, expect, it } from 'vitest';
import { InputError } from '../../../src/problems/problem.ts';
import { openAiff } from '../../../src/read/audio/aiff.ts';
import { bytesAtHand, fileSource } from '../../../src/read/audio/byte-source.ts';
import type { OpenSound } from '../../../src/read/audio/open-sound.ts';
import { openWav } from '../../../src/read/audio/wav.ts';
import { memoryDisk } from '../../support/memory-disk.ts';
import {
  aiffBytes,
  aiffChunk,
  extended,
  joined,
  le,
  packed,
  wavBytes,
  wavChunk,
  wavFormat,
  wavOf,
} from '../../support/sound-bytes.ts';

/** A left channel that rises and a right one that falls, on values that 8 bits can hold. */
const LEFT = [-1, -0.5, 0, 0.25, 0.5];
const RIGHT = [0.5, 0.25, 0, -0.5, -1];

async function samples(sound: OpenSound): Promise<number[][]> {
  const all = Array.from({ length: sound.channelCount }, (): number[] => []);
  for await (const block of sound.blocks()) block.forEach((channel, index) => all[index]?.push(...channel));
  return all;
}

const wav = (bytes: Uint8Array): Promise<OpenSound> => openWav('a.wav', bytesAtHand(bytes));
const aiff = (bytes: Uint8Array): Promise<OpenSound> => openAiff('a.aif', bytesAtHand(bytes));

async function faultOf(opening: Promise<OpenSound>): Promise<string> {
  const error: unknown = await opening.then(
    () => undefined,
    (reason: unknown) => reason,
  );
  expect(error).toBeInstanceOf(InputError);
  return (error as InputError).message;
}

describe('a WAV file', () => {
  it.each([
    { bits: 8 },
    { bits: 16 },
    { bits: 24 },
    { bits: 32 },
    { bits: 32, kind: 'float' as const },
    { bits: 64, kind: 'float' as const },
  ])('gives its samples back ($bits bits, $kind)', async (shape) => {
    const sound = await wav(wavBytes([LEFT, RIGHT], { ...shape, rateHz: 44100 }));
    expect(sound.rateHz).toBe(44100);
    expect(await samples(sound)).toEqual([LEFT, RIGHT]);
    expect(sound.remarks).toEqual([]);
  });

  it('is written as the handbook has it: 16 bits, little end first, channels in turn', async () => {
    const bytes = Buffer.from(
      '52494646 2c000000 57415645 666d7420 10000000 0100 0200 44ac0000 10b10200 0400 1000 64617461 08000000 0080 ff7f 0040 00c0'.replaceAll(
        ' ',
        '',
      ),
      'hex',
    );
    const [left, right] = await samples(await wav(bytes));
    expect(left).toEqual([-1, 0.5]);
    expect(right?.[0]).toBeCloseTo(32767 / 32768, 6);
    expect(right?.[1]).toBe(-0.5);
  });

  it('may say in its long form what it holds, 24 bits in four bytes among them', async () => {
    const tail = Buffer.from('000000001000800000aa00389b71', 'hex');
    const format = joined(
      le(0xfffe, 2),
      le(1, 2),
      le(48000, 4),
      le(192000, 4),
      le(4, 2),
      le(32, 2),
      le(22, 2),
      le(24, 2),
      le(4, 4),
      le(1, 2),
      tail,
    );
    const sound = await wav(wavOf(wavChunk('fmt ', format), wavChunk('data', packed([LEFT], { bits: 32 }))));
    expect(await samples(sound)).toEqual([LEFT]);
  });

  it.each(['RF64', 'BW64'])('may be longer than 32 bits can say (%s)', async (letters) => {
    const content = packed([LEFT], { bits: 16 });
    const bytes = wavOf(
      wavChunk('ds64', joined(le(100, 8), le(content.length, 8), le(LEFT.length, 8), le(0, 4))),
      wavFormat(1, {}),
      wavChunk('data', joined(content, 'LIST', le(4, 4), 'more'), 0xffffffff),
    );
    bytes.set(Buffer.from(letters));
    expect(await samples(await wav(bytes))).toEqual([LEFT]);
  });

  it('is read over chunks of other things, of odd lengths too', async () => {
    const bytes = wavOf(
      wavChunk('bext', new Uint8Array(603)),
      wavFormat(1, {}),
      wavChunk('LIST', new Uint8Array(5)),
      wavChunk('data', packed([LEFT], {})),
    );
    expect(await samples(await wav(bytes))).toEqual([LEFT]);
  });

  it('that was never closed has all that follows', async () => {
    for (const length of [0, 0xffffffff]) {
      const sound = await wav(wavOf(wavFormat(1, {}), wavChunk('data', packed([LEFT], {}), length)));
      expect(await samples(sound)).toEqual([LEFT]);
      expect(sound.remarks).toEqual([]);
    }
  });

  it('that promises more than it has gives what is there, and that is said', async () => {
    const sound = await wav(wavOf(wavFormat(2, {}), wavChunk('data', packed([LEFT, RIGHT], {}), 4_000_000_000)));
    expect(await samples(sound)).toEqual([LEFT, RIGHT]);
    expect(sound.remarks.map(({ message }) => message)).toEqual([
      'The file ends before the length that it promises: what is there was read; export it again if the end is missing.',
    ]);
  });

  it('with numbers that are none is silent there', async () => {
    const sound = await wav(wavBytes([[NaN, Infinity, 0.5]], { bits: 32, kind: 'float' }));
    expect(await samples(sound)).toEqual([[0, 0, 0.5]]);
  });

  it('is read piece by piece from the disk, whatever its size', async () => {
    const long = Float32Array.from({ length: 300_000 }, (_, index) => ((index * 37) % 1000) / 1024);
    const bytes = wavBytes([long, long], { bits: 24 });
    const disk = memoryDisk({ '/in/long.wav': bytes });
    let most = 0;
    const readPart: typeof disk.readPart = (path, from, length) => {
      most = Math.max(most, length);
      return disk.readPart(path, from, length);
    };
    const sound = await openWav('long.wav', fileSource('/in/long.wav', bytes.length, { readPart }));
    const left = new Float32Array(long.length);
    let count = 0;
    for await (const [block = new Float32Array(0)] of sound.blocks()) {
      left.set(block, count);
      count += block.length;
    }
    expect(Buffer.from(left.buffer).equals(Buffer.from(long.buffer))).toBe(true);
    expect(most).toBeLessThanOrEqual(1 << 18);
  });

  it.each([
    ['no head', new Uint8Array(0), 'This is no WAV file'],
    ['another file', Buffer.from('ID3 and so on, and more'), 'This is no WAV file'],
    ['no format', wavOf(wavChunk('data', new Uint8Array(8))), 'does not say how its sound is written'],
    ['no data', wavOf(wavFormat(1, {})), 'does not say where its sound is'],
    [
      'a giant rate',
      wavOf(wavFormat(1, { rateHz: 4_000_000_000 }), wavChunk('data', new Uint8Array(8))),
      '4000000000 samples',
    ],
    ['too many channels', wavOf(wavFormat(60000, {}), wavChunk('data', new Uint8Array(8))), '60000 channels'],
    ['no channel', wavOf(wavFormat(0, {}), wavChunk('data', new Uint8Array(8))), '0 channels'],
    ['nothing in it', wavOf(wavFormat(1, {}), wavChunk('data', new Uint8Array(0))), 'holds no sound'],
    ['a strange width', wavOf(wavFormat(1, { bits: 48 }), wavChunk('data', new Uint8Array(8))), '48 bits'],
    [
      'packed sound',
      wavOf(
        wavChunk('fmt ', joined(le(85, 2), le(2, 2), le(44100, 4), le(0, 4), le(1, 2), le(0, 2))),
        wavChunk('data', new Uint8Array(8)),
      ),
      'number 85',
    ],
  ])('with %s ends in one sentence', async (_, bytes, words) => {
    const message = await faultOf(wav(bytes));
    expect(message).toContain(words);
    expect(message).toMatch(/^[^.]+: [^.]+\.$/);
  });
});

describe('an AIFF file', () => {
  it.each([
    { bits: 8 },
    { bits: 16 },
    { bits: 24 },
    { bits: 32 },
    { bits: 16, compression: 'NONE' },
    { bits: 16, compression: 'sowt' },
    { bits: 24, compression: 'sowt' },
    { bits: 32, kind: 'float' as const, compression: 'fl32' },
    { bits: 64, kind: 'float' as const, compression: 'fl64' },
  ])('gives its samples back ($bits bits, $compression)', async (shape) => {
    const sound = await aiff(aiffBytes([LEFT, RIGHT], { ...shape, rateHz: 44100 }));
    expect(sound.rateHz).toBe(44100);
    expect(await samples(sound)).toEqual([LEFT, RIGHT]);
    expect(sound.remarks).toEqual([]);
  });

  it('is read to the number of frames that it states, and no further', async () => {
    const bytes = joined(aiffBytes([LEFT]), aiffChunk('ANNO', new Uint8Array(6)));
    expect(await samples(await aiff(bytes))).toEqual([LEFT]);
  });

  it('writes 44100 Hz as its handbook has it', () => {
    expect(Buffer.from(extended(44100)).toString('hex')).toBe('400eac44000000000000');
  });

  it.each([
    ['another file', Buffer.from('RIFF....WAVE')],
    ['no samples', joined('FORM', le(0, 4), 'AIFF')],
    ['packed sound', aiffBytes([LEFT], { compression: 'ima4' })],
    ['no width', aiffBytes([LEFT], { bits: 0 })],
  ])('with %s ends in one sentence', async (_, bytes) => {
    expect(await faultOf(aiff(bytes))).toMatch(/^[^.]+: [^.]+\.$/);
  });
});
