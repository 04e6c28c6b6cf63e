import { describe, expect, it } from 'vitest';
import type { StageAudio } from '../../src/model/music/arrangement.ts';
import type { AudioKind } from '../../src/model/recordings/audio-kinds.ts';
import { NO_MEMORY } from '../../src/model/memory.ts';
import { audioSentences, audioUse } from '../../src/publish/audio/audio-words.ts';
import { mp3Of } from '../../src/publish/audio/mp3.ts';
import { audioOfStages, type AudioOfStages } from '../../src/publish/audio/published-audio.ts';
import { bytesAtHand } from '../../src/read/audio/byte-source.ts';
import { openWav } from '../../src/read/audio/wav.ts';
import { roundMemory } from '../../src/commands/round-memory.ts';
import { memoryDisk } from '../support/memory-disk.ts';
import { wavBytes } from '../support/sound-bytes.ts';

/** Bit rate in kbit/s, sampling rate and size in bytes of every frame, by the tables of ISO/IEC 11172-3, 2.4.2.3 (layer III). */
function framesOf(
  bytes: Uint8Array,
): readonly { readonly kbits: number; readonly rateHz: number; readonly isMono: boolean }[] {
  const kbitsOf = [0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320];
  const frames = [];
  for (let at = 0; at + 4 <= bytes.length;) {
    const [sync = 0, kind = 0, rates = 0, mode = 0] = bytes.subarray(at, at + 4);
    expect([sync, kind & 0xfe]).toEqual([0xff, 0xfa]);
    const kbits = kbitsOf[rates >> 4]!;
    const rateHz = [44_100, 48_000, 32_000][(rates >> 2) & 3]!;
    frames.push({ kbits, rateHz, isMono: mode >> 6 === 3 });
    at += Math.floor((144_000 * kbits) / rateHz) + ((rates >> 1) & 1);
  }
  return frames;
}

const tone = (rateHz: number, seconds = 1): number[] =>
  Array.from({ length: rateHz * seconds }, (_, index) => 0.4 * Math.sin((2 * Math.PI * 440 * index) / rateHz));

const wav = (channels: number, rateHz: number): Uint8Array =>
  wavBytes(
    Array.from({ length: channels }, () => tone(rateHz)),
    { bits: 16, rateHz },
  );

describe('MP3 made of a WAV file', () => {
  it.each([
    { channels: 1, rateHz: 48_000, expected: { kbits: 64, rateHz: 48_000, isMono: true } },
    { channels: 2, rateHz: 44_100, expected: { kbits: 128, rateHz: 44_100, isMono: false } },
    { channels: 6, rateHz: 96_000, expected: { kbits: 128, rateHz: 44_100, isMono: false } },
  ])('has one bit rate throughout ($channels channels at $rateHz Hz)', async ({ channels, rateHz, expected }) => {
    const { bytes, form } = await mp3Of(await openWav('a.wav', bytesAtHand(wav(channels, rateHz))));
    const frames = framesOf(bytes);
    for (const frame of frames) expect(frame).toEqual(expected);
    // A frame is 1152 samples; a second and what the encoder adds at both ends.
    expect(frames.length).toBeGreaterThanOrEqual(expected.rateHz / 1152);
    expect(frames.length).toBeLessThanOrEqual(expected.rateHz / 1152 + 4);
    expect(form).toBe(
      `as MP3 of ${String(expected.kbits)} kbit/s, made from WAV, 16 bits${channels === 6 ? ', the first 2 of 6 channels' : ''}`,
    );
  });
});

/** Stages, oldest first, each with a file of audio of such a kind and size. */
function published(
  files: readonly { readonly kind: AudioKind; readonly bytes: number; readonly content?: Uint8Array }[],
  memory = NO_MEMORY,
  said: string[] = [],
): Promise<AudioOfStages> {
  const originals = files.map(({ kind, bytes }, index): StageAudio => ({
    stageId: `stage-${String(index + 1)}`,
    file: `${String(index + 1)}.${kind}`,
    sha256: String(index),
    kind,
    bytes,
    firstBarSecond: 1.5,
    placedBy: 'onsets',
  }));
  const disk = memoryDisk(
    Object.fromEntries(files.map(({ kind, content = '' }, index) => [`/in/${String(index + 1)}.${kind}`, content])),
  );
  return audioOfStages(originals, { folder: '/in', disk, memory, onProgress: (text) => said.push(text) });
}

describe('the audio of a dossier', () => {
  it('is in a single file up to 8 MB, the newest stages first, and what is not says where it is', async () => {
    const { audio } = await published([
      { kind: 'mp3', bytes: 1_000_000 },
      { kind: 'flac', bytes: 5_000_000 },
      { kind: 'ogg', bytes: 6_000_000 },
    ]);
    expect(audio.map(({ path, fitsSingleFile }) => [path, fitsSingleFile])).toEqual([
      ['audio/stage-1.mp3', true],
      ['audio/stage-2.flac', false],
      ['audio/stage-3.ogg', true],
    ]);
    const too = 'at most 8.0 MB of audio, the newest stages first; it stands beside it as audio/stage-2.flac';
    expect(audioSentences(audio[1]!, true)).toEqual([expect.stringContaining(too)]);
    expect(audioUse(audio[1]!, true)).toContain(too);
    expect(audioSentences(audio[1]!, false)).toEqual([
      '“2.flac” is played as it is; the file itself was only read.',
      expect.stringContaining('at second 1.50 of it'),
    ]);
  });

  it('leaves out, in one sentence, what is no sound, and keeps the rest', async () => {
    const broken = wav(1, 44_100).slice(0, 30);
    const whole = wav(1, 44_100);
    const { audio, problems } = await published([
      { kind: 'wav', bytes: broken.length, content: broken },
      { kind: 'wav', bytes: whole.length, content: whole },
    ]);
    expect(audio.map(({ path }) => path)).toEqual(['audio/stage-2.mp3']);
    expect(problems.map(({ kind, file }) => [kind, file])).toEqual([['refused', '1.wav']]);
  });

  it('is not made again of a file that has not changed', async () => {
    const content = wav(1, 44_100);
    const memory = roundMemory();
    const said: string[] = [];
    const first = await published([{ kind: 'wav', bytes: content.length, content }], memory, said);
    const second = await published([{ kind: 'wav', bytes: content.length, content }], memory, said);
    expect(said).toHaveLength(1);
    expect(await second.audio[0]!.content()).toBe(await first.audio[0]!.content());
  });
});
