/**
 * WAV files: RIFF (Microsoft and IBM, Multimedia Programming Interface and Data Specifications 1.0, 1991), the extensible format tag, and the
 * 64-bit lengths of RF64 and BW64 (EBU Tech 3306; ITU-R BS.2088).
 */
import { audioFault } from './audio-fault.ts';
import { audioKindOf } from './audio-kind.ts';
import type { ByteSource } from './byte-source.ts';
import type { Chunk } from './chunks.ts';
import { chunksOf, viewOf } from './chunks.ts';
import type { OpenSound } from './open-sound.ts';
import { cutHead, otherFile, lackingHead, unreadBits } from './pcm-faults.ts';
import type { PcmFormat } from './pcm-sound.ts';
import { pcmSound } from './pcm-sound.ts';

const PCM = 1;
const FLOAT = 3;
const EXTENSIBLE = 0xfffe;

/** A length that stands in the `ds64` chunk instead, or is not known as the file was still being written. */
const ELSEWHERE = 0xffffffff;

function formatOf(path: string, bytes: Uint8Array): PcmFormat {
  if (bytes.length < 16) throw cutHead(path, 'WAV');
  const view = viewOf(bytes);
  const stated = view.getUint16(0, true);
  // The extensible form keeps the old tag in the first two bytes of its long one.
  const tag = stated === EXTENSIBLE && bytes.length >= 26 ? view.getUint16(24, true) : stated;
  const channelCount = view.getUint16(2, true);
  const blockBytes = view.getUint16(12, true);
  const bits = view.getUint16(14, true);
  const shared = blockBytes / channelCount;
  const sampleBytes = Number.isInteger(shared) && shared * 8 >= bits && shared <= 8 ? shared : Math.ceil(bits / 8);
  const isFloat = tag === FLOAT;
  const isKnown = isFloat ? [4, 8].includes(sampleBytes) : tag === PCM && sampleBytes >= 1 && sampleBytes <= 4;
  if (!isKnown)
    throw tag === PCM || isFloat
      ? unreadBits(path, bits)
      : audioFault(
          path,
          'audio-form',
          `The sound in this WAV file is packed in a way that is not read (number ${String(tag)}): export it as plain PCM.`,
        );
  return {
    rateHz: view.getUint32(4, true),
    channelCount,
    bits,
    sample: {
      kind: isFloat ? 'float' : sampleBytes === 1 ? 'unsigned' : 'signed',
      bytes: sampleBytes,
      littleEndian: true,
    },
  };
}

/** Length of the samples as the file knows it; a file that was never closed says 0 and has all that follows. */
function dataLength({ from, length }: Chunk, source: ByteSource): number | undefined {
  return length === ELSEWHERE || (length === 0 && from < source.size) ? undefined : length;
}

/** The sound of a WAV file. Throws an InputError with one sentence where it has none that is read. */
export async function openWav(path: string, source: ByteSource): Promise<OpenSound> {
  if (audioKindOf(await source.read(0, 12)) !== 'wav') throw otherFile(path, 'WAV');
  let format: PcmFormat | undefined;
  let longData: number | undefined;
  const lengthOf = ({ name, length }: Chunk): number =>
    name === 'data' && length === ELSEWHERE && longData !== undefined ? longData : length;
  for await (const chunk of chunksOf(source, true, lengthOf)) {
    if (chunk.name === 'ds64') {
      const lengths = await source.read(chunk.from, 16);
      if (lengths.length === 16) {
        // A length that no file can have is as good as none.
        const length = viewOf(lengths).getBigUint64(8, true);
        if (length < BigInt(Number.MAX_SAFE_INTEGER)) longData = Number(length);
      }
    } else if (chunk.name === 'fmt ') {
      format = formatOf(path, await source.read(chunk.from, Math.min(chunk.length, 40)));
    } else if (chunk.name === 'data' && format !== undefined) {
      const length = dataLength(chunk, source);
      return pcmSound({ path, kind: 'WAV', ...format, from: chunk.from, length }, source);
    }
  }
  throw lackingHead(path, 'WAV', format === undefined ? 'format' : 'data');
}
