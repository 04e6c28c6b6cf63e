/** Sound whose samples lie plainly in a file, once its head is understood. */
import { audioFault, audioRemark } from './audio-fault.ts';
import type { ByteSource } from './byte-source.ts';
import { PIECE_BYTES } from './byte-source.ts';
import type { OpenSound, SoundBlock } from './open-sound.ts';
import { longRemark, MOST_SECONDS, shapeFault } from './open-sound.ts';
import type { PcmKind } from './pcm-faults.ts';
import type { SampleForm } from './pcm-samples.ts';
import { samplesOf } from './pcm-samples.ts';

/** What the head of a file says of its samples. */
export interface PcmFormat {
  readonly rateHz: number;
  readonly channelCount: number;
  readonly bits: number;
  readonly sample: SampleForm;
}

export interface PcmHead extends PcmFormat {
  readonly path: string;
  readonly kind: PcmKind;
  /** Where the samples begin, and how many bytes of them the file promises; undefined where it does not know. */
  readonly from: number;
  readonly length: number | undefined;
}

/** The sound behind a head. Throws an InputError where the head says what cannot be. */
export function pcmSound(head: PcmHead, source: ByteSource): OpenSound {
  const { path, kind, rateHz, channelCount, bits, sample } = head;
  const fault = shapeFault(path, rateHz, channelCount);
  if (fault !== undefined) throw fault;
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
    ...(Math.min(there, promised) > most ? [longRemark(path)] : []),
  ];
  async function* blocks(): AsyncGenerator<SoundBlock, void> {
    const step = PIECE_BYTES - (PIECE_BYTES % frameBytes);
    for (let done = 0; done + frameBytes <= bytes; done += step) {
      const piece = await source.read(head.from + done, Math.min(step, bytes - done));
      if (piece.length < frameBytes) return;
      yield samplesOf(piece, sample, channelCount);
    }
  }
  const form = `${kind}, ${String(bits)} bits${sample.kind === 'float' ? ' floating' : ''}`;
  return { rateHz, channelCount, form, blocks, remarks };
}
