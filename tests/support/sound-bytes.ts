/** WAV and AIFF files byte by byte, for tests of what reads them. */

export type SampleKind = 'int' | 'float';

export interface SoundShape {
  readonly rateHz?: number;
  readonly bits?: number;
  readonly kind?: SampleKind;
}

function put(bytes: readonly (number | string | Uint8Array)[]): Uint8Array {
  return Uint8Array.from(
    bytes.flatMap((piece) =>
      typeof piece === 'number' ? [piece] : typeof piece === 'string' ? [...Buffer.from(piece, 'latin1')] : [...piece],
    ),
  );
}

export function le(number: number, bytes: number): Uint8Array {
  let left = BigInt.asUintN(bytes * 8, BigInt(Math.trunc(number)));
  return Uint8Array.from({ length: bytes }, () => {
    const byte = Number(left & 0xffn);
    left >>= 8n;
    return byte;
  });
}

function be(number: number, bytes: number): Uint8Array {
  return le(number, bytes).reverse();
}

export function joined(...pieces: readonly (number | string | Uint8Array)[]): Uint8Array {
  return put(pieces);
}

/** Samples frame by frame, as a file holds them. `channels` of equal length, -1 to 1. */
export function packed(
  channels: readonly ArrayLike<number>[],
  { bits = 16, kind = 'int' }: SoundShape,
  littleEndian = true,
  isUnsigned = false,
): Uint8Array {
  const width = Math.max(1, Math.ceil(bits / 8));
  const frames = channels[0]?.length ?? 0;
  const bytes = new Uint8Array(frames * channels.length * width);
  const view = new DataView(bytes.buffer);
  let at = 0;
  for (let frame = 0; frame < frames; frame++) {
    for (const channel of channels) {
      const sample = channel[frame] ?? 0;
      const most = 2 ** (width * 8 - 1);
      const whole = Math.max(-most, Math.min(most - 1, Math.round(sample * most)));
      if (kind === 'float' && width === 8) view.setFloat64(at, sample, littleEndian);
      else if (kind === 'float') view.setFloat32(at, sample, littleEndian);
      else if (width === 1) view.setUint8(at, isUnsigned ? whole + 128 : whole & 0xff);
      else if (width === 2) view.setInt16(at, whole, littleEndian);
      else if (width === 4) view.setInt32(at, whole, littleEndian);
      else bytes.set(littleEndian ? le(whole, 3) : be(whole, 3), at);
      at += width;
    }
  }
  return bytes;
}

function chunk(name: string, content: Uint8Array, length: Uint8Array): Uint8Array {
  const out = new Uint8Array(8 + content.length + (content.length % 2));
  out.set(Buffer.from(name, 'latin1'));
  out.set(length, 4);
  out.set(content, 8);
  return out;
}

export function wavChunk(name: string, content: Uint8Array, length = content.length): Uint8Array {
  return chunk(name, content, le(length, 4));
}

export function aiffChunk(name: string, content: Uint8Array, length = content.length): Uint8Array {
  return chunk(name, content, be(length, 4));
}

function together(pieces: readonly Uint8Array[]): Uint8Array {
  return new Uint8Array(Buffer.concat(pieces));
}

/** The `fmt ` chunk of plain samples. */
export function wavFormat(channelCount: number, { rateHz = 48000, bits = 16, kind = 'int' }: SoundShape): Uint8Array {
  const block = channelCount * Math.ceil(bits / 8);
  return wavChunk(
    'fmt ',
    put([
      le(kind === 'float' ? 3 : 1, 2),
      le(channelCount, 2),
      le(rateHz, 4),
      le(rateHz * block, 4),
      le(block, 2),
      le(bits, 2),
    ]),
  );
}

/** A WAV file of these chunks. */
export function wavOf(...chunks: readonly Uint8Array[]): Uint8Array {
  const body = together(chunks);
  return together([Buffer.from('RIFF'), le(body.length + 4, 4), Buffer.from('WAVE'), body]);
}

/** A WAV file of plain samples. */
export function wavBytes(channels: readonly ArrayLike<number>[], shape: SoundShape = {}): Uint8Array {
  return wavOf(
    wavFormat(channels.length, shape),
    wavChunk('data', packed(channels, shape, true, (shape.bits ?? 16) === 8)),
  );
}

/** A positive whole number as the ten bytes of an IEEE 754 extended one. */
export function extended(number: number): Uint8Array {
  const exponent = Math.floor(Math.log2(number));
  return put([be(16383 + exponent, 2), be(Math.round((number / 2 ** exponent) * 2 ** 31), 4), be(0, 4)]);
}

/** An AIFF file, or an AIFC one where a compression is named. */
export function aiffBytes(
  channels: readonly ArrayLike<number>[],
  { compression, ...shape }: SoundShape & { readonly compression?: string } = {},
): Uint8Array {
  const { rateHz = 48000, bits = 16 } = shape;
  const common = put([be(channels.length, 2), be(channels[0]?.length ?? 0, 4), be(bits, 2), extended(rateHz)]);
  const body = together([
    aiffChunk('COMM', compression === undefined ? common : put([common, compression, 0, 0])),
    aiffChunk('SSND', together([be(0, 8), packed(channels, shape, compression === 'sowt')])),
  ]);
  return together([
    Buffer.from('FORM'),
    be(body.length + 4, 4),
    Buffer.from(compression === undefined ? 'AIFF' : 'AIFC'),
    body,
  ]);
}
