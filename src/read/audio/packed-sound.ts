/** Sound out of MP3, FLAC, Ogg Vorbis and Ogg Opus files. */
import { InputError } from '../../problems/problem.ts';
import { audioFault, audioRemark } from './audio-fault.ts';
import type { ByteSource } from './byte-source.ts';
import { piecesOf } from './byte-source.ts';
import { lettersAt } from './chunks.ts';
import type { Decoded, FrameDecoder, Packed } from './frame-decoders.ts';
import { flacDecoder, mp3Decoder, opusDecoder, vorbisDecoder } from './frame-decoders.ts';
import type { OpenSound, SoundBlock } from './open-sound.ts';
import { longRemark, MOST_SECONDS, shapeFault } from './open-sound.ts';

interface Form {
  readonly name: string;
  readonly mime: 'audio/mpeg' | 'audio/flac' | 'audio/ogg';
}

const FORMS = {
  mp3: { name: 'MP3', mime: 'audio/mpeg' },
  flac: { name: 'FLAC', mime: 'audio/flac' },
  ogg: { name: 'Ogg', mime: 'audio/ogg' },
} as const satisfies Record<string, Form>;

export type PackedKind = keyof typeof FORMS;

const DECODERS: ReadonlyMap<string, { readonly name: string; readonly make: () => Promise<FrameDecoder> }> = new Map([
  ['mpeg', { name: 'MP3', make: mp3Decoder }],
  ['flac', { name: 'FLAC', make: flacDecoder }],
  ['vorbis', { name: 'Ogg Vorbis', make: vorbisDecoder }],
  ['opus', { name: 'Ogg Opus', make: opusDecoder }],
]);

interface DecodedPiece extends Decoded {
  readonly name: string;
}

function lengthOf({ samples }: Decoded): number {
  return samples[0]?.length ?? 0;
}

/** Where the music begins behind what describes it (ID3v2.4, 3.1: ten bytes and a length of four times seven bits). */
async function behindTag(source: ByteSource): Promise<number> {
  const head = await source.read(0, 10);
  if (head.length < 10 || !lettersAt(head, 0).startsWith('ID3')) return 0;
  return 10 + head.subarray(6, 10).reduce((size, byte) => size * 128 + (byte & 0x7f), 0);
}

/** What the parser finds in the file, each with the name of its packing. */
async function* packedIn({ mime }: Form, source: ByteSource): AsyncGenerator<readonly [string, Packed], void> {
  const { default: CodecParser } = await import('codec-parser');
  let codec = '';
  const parser = new CodecParser(mime, { enableFrameCRC32: false, onCodec: (found) => (codec = found) });
  const all = function* (found: Iterator<Packed>): Generator<readonly [string, Packed], void> {
    for (let next = found.next(); next.done !== true; next = found.next()) yield [codec, next.value];
  };
  for await (const piece of piecesOf(source, await behindTag(source))) yield* all(parser.parseChunk(piece));
  yield* all(parser.flush());
}

/** Libraries on damaged bytes fail in ways of their own: that is a fault of the file. Failures of the disk are not. */
function asFault(error: unknown, path: string, name: string): unknown {
  const isOther = error instanceof InputError || (error instanceof Error && 'code' in error);
  return isOther
    ? error
    : audioFault(path, 'audio-damaged', `What this ${name} file holds cannot be understood: export it again.`);
}

/** Each piece of sound in turn. */
async function* decodedPieces(path: string, form: Form, source: ByteSource): AsyncGenerator<DecodedPiece, void> {
  let decoder: FrameDecoder | undefined;
  try {
    for await (const [codec, packed] of packedIn(form, source)) {
      const known = DECODERS.get(codec);
      if (known === undefined)
        throw audioFault(
          path,
          'audio-form',
          `The sound in this ${form.name} file is packed in a way that is not read: export it as a WAV file.`,
        );
      decoder ??= await known.make();
      yield { ...(await decoder.decode(packed)), name: known.name };
    }
  } catch (error) {
    throw asFault(error, path, form.name);
  } finally {
    try {
      decoder?.free();
    } catch {
      // What a damaged file did to the memory of its decoder goes with it.
    }
  }
}

/** The sound of a packed file, decoded as it is read. Throws an InputError with one sentence where there is none. */
export async function openPacked(path: string, kind: PackedKind, source: ByteSource): Promise<OpenSound> {
  const form = FORMS[kind];
  let faults = 0;
  const pieces = decodedPieces(path, form, source);
  let first: DecodedPiece | undefined;
  while (first === undefined) {
    const next = await pieces.next();
    if (next.done === true)
      throw audioFault(path, 'audio-empty', `No sound could be decoded from this ${form.name} file: export it again.`);
    faults += next.value.faults;
    if (lengthOf(next.value) > 0) first = next.value;
  }
  const { rateHz, samples, name } = first;
  const channelCount = samples.length;
  const fault = shapeFault(path, rateHz, channelCount);
  if (fault !== undefined) {
    await pieces.return();
    throw fault;
  }
  const remarks: OpenSound['remarks'][number][] = [];
  async function* blocks(): AsyncGenerator<SoundBlock, void> {
    let left = Math.floor(MOST_SECONDS * rateHz) - (samples[0]?.length ?? 0);
    yield samples;
    for await (const piece of pieces) {
      faults += piece.faults;
      if (lengthOf(piece) === 0) continue;
      if (piece.rateHz !== rateHz || piece.samples.length !== channelCount)
        throw audioFault(
          path,
          'audio-changes',
          'The file changes its rate or its channels on the way: export it again as one recording.',
        );
      if (left <= 0) {
        remarks.push(longRemark(path));
        break;
      }
      left -= lengthOf(piece);
      yield piece.samples;
    }
    if (faults > 0)
      remarks.push(
        audioRemark(
          path,
          'audio-damaged',
          'The file is damaged in places: what could be decoded was read; export it again.',
        ),
      );
  }
  return { rateHz, channelCount, form: name, blocks, remarks };
}
