/** Sound whose samples lie plainly in a file, once its head is understood. */
import { audioFault, audioRemark } from './audio-fault.ts';
import type { ByteSource } from './byte-source.ts';
import type { OpenSound, SoundBlock } from './open-sound.ts';
import { MOST_SECONDS, shapeFault } from './open-sound.ts';
import type { SampleForm } from './pcm-samples.ts';
import { samplesOf } from './pcm-samples.ts';

/** Bytes that are read at a time. */
const PIECE_BYTES = 1 << 18;

/** What the head of the file says. */
export interface PcmHead {
  readonly path: string;
  readonly form: string;
  readonly rateHz: number;
  readonly channelCount: number;
  readonly sample: SampleForm;
  /** Where the samples begin, and how many bytes of them the file promises; undefined where it does not know. */
  readonly from: number;
  readonly length: number | undefined;
}

/** The sound behind a head. Throws an InputError where the head says what cannot be. */
export function pcmSound(head: PcmHead, source: ByteSource): OpenSound {
  const { path, form, rateHz, channelCount, sample } = head;
  const fault = shapeFault(rateHz, channelCount);
  if (fault !== undefined) throw audioFault(path, 'audio-shape', fault);
  const frameBytes = sample.bytes * channelCount;
  const there = Math.max(0, source.size - head.from);
  const promised = head.length ?? there;
  const most = Math.floor(MOST_SECONDS * rateHz) * frameBytes;
  const bytes = Math.min(there, promised, most);
  if (bytes < frameBytes) throw audioFault(path, 'audio-empty', 'The file holds no sound: export it again.');
  const remarks = [
    ...(promised > there
      ? [
          audioRemark(
            path,
            'audio-cut',
            'The file ends before the length that it promises: what is there was read; export it again if the end is missing.',
          ),
        ]
      : []),
    ...(Math.min(there, promised) > most
      ? [audioRemark(path, 'audio-long', `Only the first ${String(MOST_SECONDS / 3600)} hours were read.`)]
      : []),
  ];
  async function* blocks(): AsyncGenerator<SoundBlock, void> {
    const step = PIECE_BYTES - (PIECE_BYTES % frameBytes);
    for (let done = 0; done + frameBytes <= bytes; done += step) {
      const piece = await source.read(head.from + done, Math.min(step, bytes - done));
      if (piece.length < frameBytes) return;
      yield samplesOf(piece, sample, channelCount);
    }
  }
  return { rateHz, channelCount, form, blocks, remarks };
}
