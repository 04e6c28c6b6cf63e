/** Bytes that are read piece by piece: a recording need not fit into memory. */
import type { Disk } from '../../model/effects.ts';

/** Bytes that are read at a time. */
export const PIECE_BYTES = 1 << 18;

export interface ByteSource {
  /** Size in bytes. */
  readonly size: number;
  /** `length` bytes from `from` on; fewer where the end comes before. */
  readonly read: (from: number, length: number) => Promise<Uint8Array>;
}

/** Bytes that are in memory already. */
export function bytesAtHand(bytes: Uint8Array): ByteSource {
  return { size: bytes.length, read: (from, length) => Promise.resolve(bytes.subarray(from, from + length)) };
}

/** A file on the disk, of the size that `Disk.status` gave. */
export function fileSource(path: string, size: number, disk: Pick<Disk, 'readPart'>): ByteSource {
  return { size, read: (from, length) => disk.readPart(path, from, length) };
}

/** Each byte from `from` on once, in order: what a decoder or a hash is fed with. */
export async function* piecesOf(source: ByteSource, from = 0): AsyncGenerator<Uint8Array, void> {
  for (let at = from; at < source.size; at += PIECE_BYTES) {
    const piece = await source.read(at, PIECE_BYTES);
    if (piece.length === 0) return;
    yield piece;
  }
}
