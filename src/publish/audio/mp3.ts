/** Sound as MP3 of a constant bit rate: what every browser plays, and seeks in by counting bytes. */
import type { OpenSound } from '../../read/audio/open-sound.ts';

/** Rates that MPEG-1 layer III has (ISO/IEC 11172-3, 2.4.2.3); anything else is brought to the second. */
const RATES_HZ: readonly number[] = [32_000, 44_100, 48_000];
const USUAL_RATE_HZ = 44_100;
/** In kbit/s, by the number of channels. */
const BIT_RATES = { 1: 64, 2: 128 } as const;

/**
 * Samples by which a decoder gives the sound late: those of the encoder, and the 529 of every decoder (LAME's technical FAQ). Nothing in the
 * file says so, so browsers do not take it away; measured in two of them.
 */
const DELAY_SAMPLES = 1105;

export interface Mp3 {
  readonly bytes: Uint8Array;
  /** Of the sound in the file after that in the original. */
  readonly delaySeconds: number;
  /** For people: `as MP3 of 128 kbit/s, made from WAV, 24 bits`. */
  readonly form: string;
}

/** Of more than two channels the first two are taken. */
export async function mp3Of({ rateHz, channelCount, form, blocks }: OpenSound): Promise<Mp3> {
  // Large, and wanted only here.
  const { createMp3Encoder } = await import('wasm-media-encoders');
  const encoder = await createMp3Encoder();
  const channels = channelCount === 1 ? 1 : 2;
  const bitrate = BIT_RATES[channels];
  const outputSampleRate = RATES_HZ.find((rate) => rate === rateHz) ?? USUAL_RATE_HZ;
  encoder.configure({ channels, sampleRate: rateHz, bitrate, outputSampleRate: outputSampleRate as 44_100 });
  const pieces: Uint8Array[] = [];
  // What the encoder gives is its own memory, which it writes over.
  for await (const block of blocks()) pieces.push(encoder.encode(block.slice(0, channels)).slice());
  pieces.push(encoder.finalize().slice());
  const taken = channelCount > channels ? `, the first ${String(channels)} of ${String(channelCount)} channels` : '';
  return {
    bytes: Buffer.concat(pieces),
    delaySeconds: DELAY_SAMPLES / outputSampleRate,
    form: `as MP3 of ${String(bitrate)} kbit/s, made from ${form}${taken}`,
  };
}
