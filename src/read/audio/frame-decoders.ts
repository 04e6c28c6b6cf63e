/**
 * Decoders of packed sound, each behind one function. Their packages are loaded only where a file asks for one, and stay outside of the compiled
 * program, as `codec-parser` (LGPL) must be replaceable by whoever wants to.
 */
import type { CodecFrame, OggPage } from 'codec-parser';
import type { SoundBlock } from './open-sound.ts';

/** What one step of decoding gives. */
export interface Decoded {
  readonly samples: SoundBlock;
  readonly rateHz: number;
  /** Places that could not be decoded. */
  readonly faults: number;
}

/** What the parser hands over: a frame of MP3 or FLAC, or a page of an Ogg file. */
export type Packed = CodecFrame | OggPage;

export interface FrameDecoder {
  readonly decode: (packed: Packed) => Promise<Decoded>;
  readonly free: () => void;
}

interface LibraryResult {
  readonly channelData: readonly Float32Array[];
  readonly samplesDecoded: number;
  readonly sampleRate: number;
  readonly errors: readonly unknown[];
}

/** The libraries print what is wrong with a file; here it is counted, and told in a sentence. */
async function unprinted<T>(work: () => T | Promise<T>): Promise<T> {
  const printer: Pick<Console, 'error'> = console;
  const { error } = printer;
  printer.error = () => undefined;
  try {
    return await work();
  } finally {
    printer.error = error;
  }
}

function decoded({ channelData, samplesDecoded, sampleRate, errors }: LibraryResult, channels?: number): Decoded {
  const samples = channelData.slice(0, channels).map((channel) => channel.subarray(0, samplesDecoded));
  return { samples, rateHz: sampleRate, faults: errors.length };
}

/** A page that carries no sound. */
const NOTHING: Decoded = { samples: [], rateHz: 0, faults: 0 };

export async function mp3Decoder(): Promise<FrameDecoder> {
  const { MPEGDecoder } = await import('mpg123-decoder');
  const library = new MPEGDecoder();
  await library.ready;
  return {
    decode: (packed) =>
      unprinted(() =>
        'header' in packed ? decoded(library.decodeFrame(packed.data), packed.header.channels) : NOTHING,
      ),
    free: () => {
      library.free();
    },
  };
}

export async function flacDecoder(): Promise<FrameDecoder> {
  const { FLACDecoder } = await import('@wasm-audio-decoders/flac');
  const library = new FLACDecoder();
  await library.ready;
  return {
    decode: (packed) => unprinted(async () => decoded(await library.decodeFrames([packed.data]))),
    free: () => {
      library.free();
    },
  };
}

export async function vorbisDecoder(): Promise<FrameDecoder> {
  const { OggVorbisDecoder } = await import('@wasm-audio-decoders/ogg-vorbis');
  const library = new OggVorbisDecoder();
  await library.ready;
  return {
    decode: (packed) =>
      unprinted(async () => ('codecFrames' in packed ? decoded(await library.decodeOggPages([packed])) : NOTHING)),
    free: () => {
      library.free();
    },
  };
}

/** Opus: the head says what its first packets need; what the encoder put before and after the sound is left out (RFC 7845, 4.2 and 4.4). */
export async function opusDecoder(): Promise<FrameDecoder> {
  const { OpusDecoder } = await import('opus-decoder');
  let library: InstanceType<typeof OpusDecoder> | undefined;
  let given = 0;
  return {
    decode: (packed) =>
      unprinted(async () => {
        const [first] = 'codecFrames' in packed ? packed.codecFrames : [];
        if (!('codecFrames' in packed) || first === undefined || !('preSkip' in first.header)) return NOTHING;
        if (library === undefined) {
          const { channels, streamCount, coupledStreamCount, channelMappingTable, preSkip } = first.header;
          library = new OpusDecoder({ channels, streamCount, coupledStreamCount, channelMappingTable, preSkip });
          await library.ready;
        }
        const result = library.decodeFrames(packed.codecFrames.map(({ data }) => data));
        const over = packed.isLastPage ? Math.max(0, given + result.samplesDecoded - packed.totalSamples) : 0;
        const samplesDecoded = Math.max(0, result.samplesDecoded - over);
        given += samplesDecoded;
        return decoded({ ...result, samplesDecoded });
      }),
    free: () => library?.free(),
  };
}
