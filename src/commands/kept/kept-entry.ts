/** One kept result as bytes that say themselves whether they are whole. */
import { createHash } from 'node:crypto';
import { deserialize, serialize } from 'node:v8';
import { deflateRawSync, inflateRawSync } from 'node:zlib';

/** Bytes of the hash before the packed result. */
const HASH_BYTES = 32;

/** Binds bytes to the name that they are kept under, so that those of another result are not taken for it. */
function hashOf(address: string, packed: Uint8Array): Buffer {
  return createHash('sha256').update(address).update('\n').update(packed).digest();
}

/** The least effort of packing: a fifth of the size in the time that a disk takes to write the rest. */
const LEVEL = 1;

/** `made`: data without functions. What is one object stays one. */
export function entryOf(address: string, made: unknown): Uint8Array {
  const packed = deflateRawSync(serialize(made), { level: LEVEL });
  return Buffer.concat([hashOf(address, packed), packed]);
}

/** What was made; undefined where the bytes are not what was kept under this address. */
export function madeOf(address: string, entry: Uint8Array): unknown {
  const packed = entry.subarray(HASH_BYTES);
  if (!hashOf(address, packed).equals(entry.subarray(0, HASH_BYTES))) return undefined;
  try {
    return deserialize(inflateRawSync(packed));
  } catch {
    // Whole, but written in a form that this Node does not read.
    return undefined;
  }
}
