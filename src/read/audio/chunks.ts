/** The chunks that WAV and AIFF files are made of: four letters, a length, that many bytes, and one more where the length is odd. */
import type { ByteSource } from './byte-source.ts';

/** More than any file of music has. */
const MOST_CHUNKS = 500;

export interface Chunk {
  readonly name: string;
  /** Where its bytes begin. */
  readonly from: number;
  /** As the file says; may lead past its end. */
  readonly length: number;
}

export function lettersAt(bytes: Uint8Array, at: number): string {
  return String.fromCharCode(...bytes.subarray(at, at + 4));
}

export function viewOf(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

/**
 * Chunks from the 12th byte on, as far as their lengths lead; `lengthOf` may know a length better than the chunk does (64 bits). The first of a
 * length past the end is the last.
 */
export async function* chunksOf(
  source: ByteSource,
  littleEndian: boolean,
  lengthOf: (chunk: Chunk) => number = ({ length }) => length,
): AsyncGenerator<Chunk, void> {
  let from = 12;
  for (let count = 0; count < MOST_CHUNKS; count++) {
    const head = await source.read(from, 8);
    if (head.length < 8) return;
    const stated = {
      name: lettersAt(head, 0),
      from: from + 8,
      length: viewOf(head).getUint32(4, littleEndian),
    };
    const chunk = { ...stated, length: lengthOf(stated) };
    yield chunk;
    from = chunk.from + chunk.length + (chunk.length % 2);
  }
}
