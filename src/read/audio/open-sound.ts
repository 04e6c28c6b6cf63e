/** Sound as it comes out of a file, whatever the file is. */
import type { InputError, Problem } from '../../problems/problem.ts';
import { audioFault, audioRemark } from './audio-fault.ts';

/** Samples of each channel, -1 to 1 where nothing is clipped; all channels are of one length. */
export type SoundBlock = readonly Float32Array[];

export interface OpenSound {
  readonly rateHz: number;
  readonly channelCount: number;
  /** How the file holds it, for people: `WAV, 24 bits`. */
  readonly form: string;
  /** From the first sample to the last, once; what the file has beyond bounds is left out. Throws an InputError where it cannot go on. */
  readonly blocks: () => AsyncIterable<SoundBlock>;
  /** What was met beside the sound (a length that lies); complete once all blocks were read. */
  readonly remarks: readonly Problem[];
}

/** Rates and channels that recordings have; anything else is damage or no music. */
const LEAST_RATE_HZ = 8000;
const MOST_RATE_HZ = 384_000;
const MOST_CHANNELS = 8;

/** What is read of one file at most: two hours. */
export const MOST_SECONDS = 7200;

export function longRemark(path: string): Problem {
  return audioRemark(path, 'audio-long', `Only the first ${String(MOST_SECONDS / 3600)} hours were read.`);
}

/** Why sound of this shape is not read; undefined where it is. */
export function shapeFault(path: string, rateHz: number, channelCount: number): InputError | undefined {
  const fault = (message: string): InputError => audioFault(path, 'audio-shape', message);
  if (!(rateHz >= LEAST_RATE_HZ && rateHz <= MOST_RATE_HZ))
    return fault(
      `The file says that it has ${String(rateHz)} samples a second, and ${String(LEAST_RATE_HZ)} to ${String(MOST_RATE_HZ)} are read: export it again at 44100 or 48000.`,
    );
  if (channelCount < 1 || channelCount > MOST_CHANNELS)
    return fault(
      `The file says that it has ${String(channelCount)} channels, and 1 to ${String(MOST_CHANNELS)} are read: export it again with one or two.`,
    );
  return undefined;
}
