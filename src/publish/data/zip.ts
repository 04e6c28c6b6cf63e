/** ZIP archives (PKWARE, APPNOTE.TXT 6.3.10), deflated; the same files give the same bytes, as no clock is asked. */
import { crc32, deflateRawSync } from 'node:zlib';

export interface ZippedFile {
  /** With `/` between folders. */
  readonly path: string;
  readonly text: string;
}

/** UTF-8 names (bit 11 of the flags, APPNOTE 4.4.4) and the least version that deflates (4.4.3). */
const [UTF8_NAMES, VERSION, DEFLATED] = [0x0800, 20, 8];
/** 1 January 1980, midnight, the first moment that the format knows (4.4.6). */
const [NO_TIME, FIRST_DATE] = [0, 0x0021];

/** Numbers in little-endian order; each with its size in bytes. */
function fields(...values: readonly (readonly [size: 2 | 4, value: number])[]): Buffer {
  return Buffer.concat(
    values.map(([size, value]) => {
      const bytes = Buffer.alloc(size);
      if (size === 2) bytes.writeUInt16LE(value);
      else bytes.writeUInt32LE(value);
      return bytes;
    }),
  );
}

/** An archive of these files in the order given. */
export function zipOf(files: readonly ZippedFile[]): Buffer {
  const bodies: Buffer[] = [];
  const entries: Buffer[] = [];
  let offset = 0;
  for (const { path, text } of files) {
    const name = Buffer.from(path);
    const plain = Buffer.from(text);
    const packed = deflateRawSync(plain, { level: 9 });
    const common = fields(
      [2, VERSION],
      [2, UTF8_NAMES],
      [2, DEFLATED],
      [2, NO_TIME],
      [2, FIRST_DATE],
      [4, crc32(plain)],
      [4, packed.length],
      [4, plain.length],
      [2, name.length],
      [2, 0],
    );
    const body = Buffer.concat([fields([4, 0x04034b50]), common, name, packed]);
    bodies.push(body);
    const places = fields([2, 0], [2, 0], [2, 0], [4, 0], [4, offset]);
    entries.push(Buffer.concat([fields([4, 0x02014b50], [2, VERSION]), common, places, name]));
    offset += body.length;
  }
  const directory = Buffer.concat(entries);
  const end = fields(
    [4, 0x06054b50],
    [2, 0],
    [2, 0],
    [2, files.length],
    [2, files.length],
    [4, directory.length],
    [4, offset],
    [2, 0],
  );
  return Buffer.concat([...bodies, directory, end]);
}
