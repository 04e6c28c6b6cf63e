/** A sine of 997 Hz, left at 0.4 of full scale, right at half of that, packed by encoders of other people (tests/data/LICENCES.md). */
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Problem } from '../../../src/problems/problem.ts';
import { InputError } from '../../../src/problems/problem.ts';
import { NO_MEMORY } from '../../../src/model/memory.ts';
import { measureFile } from '../../../src/read/audio/measure-file.ts';
import { integrated } from '../../../src/sound/measure/loudness.ts';
import { memoryDisk } from '../../support/memory-disk.ts';
import { wavBytes, wavChunk, wavFormat, wavOf } from '../../support/sound-bytes.ts';

function dataFile(name: string): Uint8Array {
  return readFileSync(resolve('tests/data/sound', name));
}

async function measured(name: string, bytes: Uint8Array) {
  const path = `/in/${name}`;
  const found = { path: name, name, absolutePath: path, use: 'audio' as const };
  const problems: Problem[] = [];
  const disk = memoryDisk({ [path]: bytes });
  const sound = await measureFile(found, { disk, memory: NO_MEMORY, problems, records: [], progress: () => undefined });
  return { sound, problems };
}

const SINE_DB = -0.691 + 10 * Math.log10((0.4 ** 2 + 0.2 ** 2) / 2);

describe('packed sound', () => {
  it.each([
    { name: 'sine.flac', form: 'FLAC', rateHz: 44100, seconds: 1 },
    { name: 'sine.ogg', form: 'Ogg Vorbis', rateHz: 44100, seconds: 1 },
    { name: 'sine.opus', form: 'Ogg Opus', rateHz: 48000, seconds: 0.5 },
  ])('is measured as loud as it was written ($form)', async ({ name, form, rateHz, seconds }) => {
    const { sound, problems } = await measured(name, dataFile(name));
    expect(problems).toEqual([]);
    expect(sound).toMatchObject({ form, rateHz, channelCount: 2 });
    expect(Math.abs((sound?.measure.seconds ?? 0) - seconds)).toBeLessThan(0.02);
    const level = integrated(sound?.measure.stepPowers ?? []);
    // 997 Hz is weighted by 0.69 dB, which the offset of the standard takes off again.
    expect(Math.abs((level ?? 0) - (SINE_DB + 0.69))).toBeLessThan(0.3);
  });

  // LAME writes at 0.95 of what it is given (its own default), and the file has one channel, which both loudspeakers play.
  it('is measured as loud as it was written (MP3)', async () => {
    const { sound } = await measured('sine.mp3', dataFile('sine.mp3'));
    expect(sound).toMatchObject({ form: 'MP3', rateHz: 44100, channelCount: 1 });
    const level = integrated(sound?.measure.stepPowers ?? []);
    expect(Math.abs((level ?? 0) - 20 * Math.log10(0.4 * 0.95))).toBeLessThan(0.3);
  });

  // The tag of LAME (Mp3 Info Tag rev 1, from memory): 21 bytes behind its name, 12 bits of delay and 12 of padding, which browsers take out as well.
  it('is measured without what the encoder put before and after it, where the file says so (MP3)', async () => {
    const plain = dataFile('sine.mp3');
    const [delay, padding] = [576, 700];
    const kbits = [0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320][plain[2]! >> 4]!;
    const tag = Buffer.alloc(Math.floor((144_000 * kbits) / 44_100));
    tag.set([plain[0]!, plain[1]!, plain[2]! & ~2, plain[3]!]);
    // Behind the header and the 17 bytes of side information of one channel.
    const info = 21;
    tag.write('Info', info);
    tag.writeUInt32BE(0x0f, info + 4);
    tag.writeUInt32BE(Math.round(plain.length / tag.length), info + 8);
    tag.writeUInt32BE(plain.length + tag.length, info + 12);
    tag.write('LAME3.100', info + 120);
    tag.writeUIntBE((delay << 12) | padding, info + 141, 3);
    const secondsOf = async (bytes: Uint8Array) => (await measured('sine.mp3', bytes)).sound?.measure.seconds ?? 0;
    const taken = (await secondsOf(plain)) - (await secondsOf(Buffer.concat([tag, plain])));
    expect(Math.round(taken * 44_100)).toBe(delay + padding);
  });

  it('is known by what it is, not by its name', async () => {
    expect((await measured('sine.wav', dataFile('sine.ogg'))).sound?.form).toBe('Ogg Vorbis');
  });

  it('of a kind without a free decoder is not measured, and that is said', async () => {
    const { sound, problems } = await measured('a.m4a', Buffer.from('\0\0\0\x20ftypM4A \0\0\0\0'));
    expect(sound).toBeUndefined();
    expect(problems.map(({ message }) => message)).toEqual([
      'An M4A file can be played but not measured, as no free decoder is at hand: export it as WAV or FLAC.',
    ]);
  });
});

/** Numbers between 0 and 1 that look thrown and are always the same. */
function thrown(seed: number): () => number {
  let state = seed * 7919 + 1;
  return () => {
    state = (Math.imul(state, 1103515245) + 12345) & 0x7fffffff;
    return state / 0x7fffffff;
  };
}

type Spoil = (bytes: Uint8Array, next: () => number) => Uint8Array;

function overwritten(count: number, from: number, to: number): Spoil {
  return (bytes, next) => {
    const spoilt = new Uint8Array(bytes);
    for (let index = 0; index < count; index++)
      spoilt[Math.floor(from + next() * (Math.min(to, bytes.length) - from))] = Math.floor(next() * 256);
    return spoilt;
  };
}

const SPOILS: readonly Spoil[] = [
  (bytes, next) => bytes.slice(0, Math.floor(next() * bytes.length)),
  overwritten(20, 0, Infinity),
  overwritten(1500, 0, Infinity),
  overwritten(8, 0, 120),
  (bytes, next) => bytes.map((byte, index) => (index < 64 ? byte : Math.floor(next() * 256))),
  (bytes, next) => {
    const at = Math.floor(next() * bytes.length);
    return new Uint8Array([...bytes.slice(0, at), ...bytes.slice(at + Math.floor(next() * 3000))]);
  },
];

const TUNE = Float32Array.from({ length: 8000 }, (_, index) => Math.sin(index / 7));

/** Lengths, rates and frames that no file can have. */
function hostile(): ReadonlyMap<string, Uint8Array> {
  const flac = dataFile('sine.flac');
  const longMetadata = new Uint8Array(flac);
  longMetadata.set([0x84, 0xff, 0xff, 0xff], 4);
  const id3 = Uint8Array.from([...Buffer.from('ID3\x04\0\0'), 127, 127, 127, 127, ...dataFile('sine.mp3')]);
  const oggPage = Uint8Array.from([
    ...Buffer.from('OggS'),
    ...new Uint8Array(22),
    255,
    ...new Uint8Array(255).fill(255),
  ]);
  return new Map([
    ['endless.wav', wavOf(wavFormat(1, {}), wavChunk('data', new Uint8Array(9000), 0xfffffff0))],
    ['giant-rate.wav', wavBytes([TUNE], { rateHz: 0xffffffff })],
    ['no-rate.wav', wavBytes([TUNE], { rateHz: 0 })],
    ['one-frame-a-second.wav', wavBytes([TUNE], { rateHz: 1 })],
    ['chunks.wav', wavOf(...Array.from({ length: 3000 }, () => wavChunk('LIST', new Uint8Array(0))))],
    ['loop.wav', wavOf(wavChunk('LIST', new Uint8Array(0), 0xfffffff8))],
    ['empty.mp3', new Uint8Array(0)],
    ['zeros.mp3', new Uint8Array(300_000)],
    ['frames.mp3', Uint8Array.from({ length: 200_000 }, (_, index) => [0xff, 0xfb, 0x90, 0x00][index % 4]!)],
    ['tag.mp3', id3],
    ['metadata.flac', longMetadata],
    ['page.ogg', oggPage],
  ]);
}

describe('a damaged or hostile recording', () => {
  const files = [
    ...['sine.mp3', 'sine.flac', 'sine.ogg', 'sine.opus'].map((name) => [name, dataFile(name)] as const),
    ['plain.wav', wavBytes([TUNE, TUNE], { bits: 24, rateHz: 16000 })] as const,
  ];
  const spoilt = files.flatMap(([name, bytes]) =>
    Array.from({ length: 22 }, (_, index): readonly [string, Uint8Array] => {
      const next = thrown(index + 1);
      return [`${String(index)} ${name}`, SPOILS[index % SPOILS.length]!(bytes, next)];
    }),
  );
  const all = [...hostile(), ...spoilt];

  it('is one of 120 and more', () => {
    expect(all.length).toBeGreaterThanOrEqual(120);
  });

  it.each(all)('%s ends in sound or in one sentence', async (name, bytes) => {
    const printed: unknown[] = [];
    const printer: Pick<Console, 'error'> = console;
    const { error } = printer;
    printer.error = (...said: unknown[]) => printed.push(said);
    try {
      const { sound, problems } = await measured(name, bytes);
      expect(sound !== undefined || problems.length === 1).toBe(true);
      for (const { message } of problems) expect(message).toMatch(/^[A-Z][^\n]*\.$/);
      expect((sound?.measure.seconds ?? 0) < 60).toBe(true);
      expect(printed).toEqual([]);
    } catch (reason) {
      throw reason instanceof InputError ? new Error('a sentence was thrown instead of told') : reason;
    } finally {
      printer.error = error;
    }
  });
});
