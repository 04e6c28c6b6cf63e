/** Plain samples, as WAV and AIFF files hold them, to numbers between -1 and 1. */
import { viewOf } from './chunks.ts';
import type { SoundBlock } from './open-sound.ts';

export interface SampleForm {
  /** `unsigned`: with the middle at 128, as 8 bits are in WAV files. */
  readonly kind: 'signed' | 'unsigned' | 'float';
  /** Bytes that one sample takes: 1 to 4, of floats 4 or 8. */
  readonly bytes: number;
  readonly littleEndian: boolean;
}

type Read = (view: DataView, at: number) => number;

/** A damaged float may be anything: what is no number is silence. */
function finite(sample: number): number {
  return Number.isFinite(sample) ? sample : 0;
}

function readerOf({ kind, bytes, littleEndian }: SampleForm): Read {
  if (kind === 'float')
    return bytes === 8
      ? (view, at) => finite(Math.fround(view.getFloat64(at, littleEndian)))
      : (view, at) => finite(view.getFloat32(at, littleEndian));
  switch (bytes) {
    case 1:
      return kind === 'unsigned'
        ? (view, at) => (view.getUint8(at) - 0x80) / 0x80
        : (view, at) => view.getInt8(at) / 0x80;
    case 2:
      return (view, at) => view.getInt16(at, littleEndian) / 0x8000;
    case 3:
      return littleEndian
        ? (view, at) => (view.getUint16(at, true) + view.getInt8(at + 2) * 0x10000) / 0x800000
        : (view, at) => (view.getInt8(at) * 0x10000 + view.getUint16(at + 1, false)) / 0x800000;
    default:
      return (view, at) => view.getInt32(at, littleEndian) / 0x80000000;
  }
}

/** The whole frames in these bytes, channel by channel. */
export function samplesOf(bytes: Uint8Array, form: SampleForm, channelCount: number): SoundBlock {
  const view = viewOf(bytes);
  const frameBytes = form.bytes * channelCount;
  const frames = Math.floor(bytes.length / frameBytes);
  const read = readerOf(form);
  return Array.from({ length: channelCount }, (_, channel) => {
    const samples = new Float32Array(frames);
    for (let frame = 0, at = channel * form.bytes; frame < frames; frame++, at += frameBytes)
      samples[frame] = read(view, at);
    return samples;
  });
}
