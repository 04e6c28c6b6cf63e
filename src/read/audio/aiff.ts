/** AIFF and AIFC files (Apple, Audio Interchange File Format 1.3, 1989; AIFF-C draft, 1991), as far as their samples lie plainly. */
import { audioFault } from './audio-fault.ts';
import { audioKindOf } from './audio-kind.ts';
import type { ByteSource } from './byte-source.ts';
import { chunksOf, lettersAt, viewOf } from './chunks.ts';
import type { OpenSound } from './open-sound.ts';
import { cutHead, otherFile, lackingHead, unreadBits } from './pcm-faults.ts';
import type { PcmFormat } from './pcm-sound.ts';
import { pcmSound } from './pcm-sound.ts';

/** Kinds of compression that compress nothing, and what a sample is in them. */
const PLAIN: ReadonlyMap<string, { readonly littleEndian: boolean; readonly floatBytes?: number }> = new Map([
  ['NONE', { littleEndian: false }],
  ['twos', { littleEndian: false }],
  ['in24', { littleEndian: false }],
  ['in32', { littleEndian: false }],
  ['sowt', { littleEndian: true }],
  ['fl32', { littleEndian: false, floatBytes: 4 }],
  ['FL32', { littleEndian: false, floatBytes: 4 }],
  ['fl64', { littleEndian: false, floatBytes: 8 }],
  ['FL64', { littleEndian: false, floatBytes: 8 }],
]);

/** A number of IEEE 754 in ten bytes: sign and exponent, then 64 bits of which the first is the whole one. */
function extendedAt(view: DataView, at: number): number {
  const exponent = (view.getUint16(at) & 0x7fff) - 16383;
  const mantissa = view.getUint32(at + 2) + view.getUint32(at + 6) / 2 ** 32;
  return mantissa * 2 ** (exponent - 31);
}

interface Format extends PcmFormat {
  readonly frames: number;
}

function formatOf(path: string, bytes: Uint8Array, isCompressedForm: boolean): Format {
  if (bytes.length < (isCompressedForm ? 22 : 18)) throw cutHead(path, 'AIFF');
  const view = viewOf(bytes);
  const bits = view.getUint16(6);
  const name = isCompressedForm ? lettersAt(bytes, 18) : 'NONE';
  const plain = PLAIN.get(name);
  if (plain === undefined)
    throw audioFault(
      path,
      'audio-form',
      'The sound in this AIFF file is packed in a way that is not read: export it as a WAV file.',
    );
  const sampleBytes = plain.floatBytes ?? Math.ceil(bits / 8);
  if (sampleBytes < 1 || (plain.floatBytes === undefined && sampleBytes > 4)) throw unreadBits(path, bits);
  return {
    rateHz: extendedAt(view, 8),
    channelCount: view.getUint16(0),
    bits,
    frames: view.getUint32(2),
    sample: {
      kind: plain.floatBytes === undefined ? 'signed' : 'float',
      bytes: sampleBytes,
      littleEndian: plain.littleEndian,
    },
  };
}

/** The sound of an AIFF or AIFC file. Throws an InputError with one sentence where it has none that is read. */
export async function openAiff(path: string, source: ByteSource): Promise<OpenSound> {
  const head = await source.read(0, 12);
  if (audioKindOf(head) !== 'aiff') throw otherFile(path, 'AIFF');
  let format: Format | undefined;
  let data: { readonly from: number } | undefined;
  for await (const chunk of chunksOf(source, false)) {
    if (chunk.name === 'COMM')
      format = formatOf(path, await source.read(chunk.from, Math.min(chunk.length, 22)), lettersAt(head, 8) === 'AIFC');
    if (chunk.name === 'SSND') {
      const lead = await source.read(chunk.from, 8);
      if (lead.length === 8) data = { from: chunk.from + 8 + viewOf(lead).getUint32(0) };
    }
    if (format === undefined || data === undefined) continue;
    const length = format.frames * format.sample.bytes * format.channelCount;
    return pcmSound({ path, kind: 'AIFF', ...format, from: data.from, length }, source);
  }
  throw lackingHead(path, 'AIFF', format === undefined ? 'format' : 'data');
}
